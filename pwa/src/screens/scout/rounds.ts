/** Blind second looks: which are offered to whom, at which pots, and when one is done. */
import type { Place } from '../../../../schema/types';
import { potsOfWalk } from '../../journal/read';
import type { Intent } from '../../journal/shape';
import { rounds, seenOf, walks, type WalkRow } from '../../journal/things';
import { intent } from '../../journal/write';

export interface Offered {
  id: string;
  bed: string;
  /** The walk whose pots are looked at again. */
  first: string;
}

/** Rounds that ask this person, or anybody, but never the one who read first; not those that are done or begun. */
export function offeredTo(person: string | undefined): Offered[] {
  if (!person) return [];
  const begun = new Set([...walks.value.values()].flatMap((walk) => (walk.end ? [] : (walk.open?.round ?? []))));
  return [...rounds.value.values()].flatMap(({ id, bed, walk, by, done }) => {
    const first = walks.value.get(walk ?? '');
    const mine = (by ?? person) === person && first?.by?.person !== person;
    return bed && first && mine && !done && !begun.has(id) ? [{ id, bed, first: first.id }] : [];
  });
}

/** Where the pots of a walk stand, each place once, in the order in which they were looked at. */
export async function placesOf(walk: string): Promise<Place[]> {
  const places = new Map<string, Place>();
  for (const pot of await potsOfWalk(walk)) {
    const place = pot.now.place;
    if (place && !pot.voided) places.set(`${place.row}/${place.across}`, place);
  }
  return [...places.values()];
}

/**
 * The note that a round is done, to be saved along with the end of the walk that answers it. A walk that looked at no pot
 * answers nothing: its round is offered again.
 */
export function doneWith(walk: WalkRow, seen: number): Intent[] {
  const round = walk.open?.round;
  if (!round || seen === 0 || rounds.value.get(round)?.done) return [];
  const saw = seenOf('round', round, ['bed', 'walk', 'by', 'done']);
  return [intent('round', { of: round, done: true, ...(saw.length > 0 ? { saw } : {}) }, { bed: walk.bed })];
}
