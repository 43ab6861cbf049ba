import type { BedBrief, BedsView } from '../../../schema/types';

/**
 * Puts what changed of the Beds page into what is held of it. Nothing where the two do not fit together: then all of it is
 * asked for again.
 */
export function withChanges(held: BedsView, change: BedsView): BedsView | undefined {
  const changed = new Map<string, BedBrief>((change.beds ?? []).map((bed) => [bed.id, bed]));
  const houses = held.houses.map((house) =>
    house.beds.some((bed) => changed.has(bed.id))
      ? { ...house, beds: house.beds.map((bed) => changed.get(bed.id) ?? bed) }
      : house,
  );
  const ids = new Set(held.houses.flatMap((house) => house.beds.map((bed) => bed.id)));
  if (change.since !== held.version || [...changed.keys()].some((id) => !ids.has(id))) return undefined;
  const { since: _, beds: __, ...rest } = change;
  return { ...rest, houses };
}
