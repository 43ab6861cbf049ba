/** Blind second looks: which are offered to whom, and at which pots. */
import type { Place } from '../../../../../schema/types';
import { potsOfWalk } from '../../../journal/records/read';
import { rounds } from '../../../journal/records/registers';
import { walks, walksNotEnded } from '../../../journal/records/walks';

export interface Offered {
  id: string;
  bed: string;
  /** The walk whose pots are looked at again. */
  first: string;
}

/** Rounds that ask this person, or anybody, but never the one who read first; not those that are done or begun. */
export function offeredTo(person: string | undefined): Offered[] {
  if (!person) return [];
  const begun = new Set([...walksNotEnded.value.values()].flatMap((walk) => walk.open?.round ?? []));
  return [...rounds.value.values()].flatMap(({ id, bed, walk, by, done }) => {
    const first = walks.value.get(walk ?? '');
    const mine = (by ?? person) === person && first?.by?.person !== person;
    return bed && first && mine && !done && !begun.has(id) ? [{ id, bed, first: first.id }] : [];
  });
}

/** True until this person has looked at a walk's pots a second time: that is worth something only without the first values. */
export function isAskedAgain(walk: string, person: string | undefined): boolean {
  if (walks.value.get(walk)?.by?.person === person) return false;
  return [...rounds.value.values()].some((each) => each.walk === walk && !each.done && (each.by ?? person) === person);
}

/** Where the pots of a walk stand, each place once, in the order in which they were looked at. None while the walk is here in part. */
export async function placesOf(walk: string): Promise<Place[]> {
  const places = new Map<string, Place>();
  for (const pot of (await potsOfWalk(walk)) ?? []) {
    const place = pot.now.place;
    if (place && !pot.voided) places.set(`${place.row}/${place.across}`, place);
  }
  return [...places.values()];
}
