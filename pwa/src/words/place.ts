/** Where a pot stands, in words that lead to it: its row, and its place counted from the nearer aisle, by that aisle's name. */
import type { Bed, Observation, Place } from '../../../schema/types';
import { beds, type Plain } from '../journal/records/registers';
import { guideWords } from './rooms';

export type Sides = Partial<Pick<Plain<Bed>, 'entry_end' | 'near_side' | 'far_side'>> & {
  across?: number;
  aisles?: string | undefined;
};

export interface Counted {
  side: 'near' | 'far';
  nth: number;
}

/**
 * The aisle that a place is counted from, and which one it is from there: the only aisle of one; of two the nearer, and the near
 * one for the pot in the middle of an odd number. Where nobody said where one can walk it is the near side, as in sync/bed.
 */
export function counted({ aisles, across }: Sides, at: number): Counted {
  const fromFar = (across ?? 0) + 1 - at;
  const isFar = fromFar > 0 && (aisles === 'far' || (aisles === 'both' && fromFar < at));
  return isFar ? { side: 'far', nth: fromFar } : { side: 'near', nth: at };
}

/** What the crew call a side; nothing where nobody said, or where both sides have one name and it would tell nothing. */
export function ownName({ near_side: near, far_side: far }: Sides, side: Counted['side']): string | undefined {
  return near?.toLowerCase() === far?.toLowerCase() ? undefined : side === 'far' ? far : near;
}

/** What the crew call both sides, as findings name them. */
export function sideNames(bed: Sides = {}): { nearSide: string | undefined; farSide: string | undefined } {
  return { nearSide: ownName(bed, 'near'), farSide: ownName(bed, 'far') };
}

/** A side as it stands after "from". A bed that is not on this device has the side that all beds have. */
export function sideOf(bed: Sides | undefined, side: Counted['side']): string {
  const words = guideWords.value;
  if (!bed) return words.nearSide;
  const own = ownName(bed, side);
  if (own !== undefined) return words.named(own);
  if (bed.aisles !== 'both') return words.aisle;
  // Which hand it is on is known only for somebody who comes from the entry end, so the words hold that too.
  const entry = bed.entry_end ?? words.entry;
  return side === 'far' ? words.onTheLeft(entry) : words.onTheRight(entry);
}

/** "row 41, third from the path side" */
export function describePlace(id: string, { row, across }: Place): string {
  const bed = beds.value.get(id);
  if (bed?.across === 1) return guideWords.value.rowOnly(row);
  const { side, nth } = counted(bed ?? {}, across);
  return guideWords.value.place(row, nth, sideOf(bed, side));
}

/** Where a pot stood, or that nobody wrote it down. */
export function placeOf({ bed, place }: Pick<Observation, 'bed' | 'place'>): string {
  return place ? describePlace(bed, place) : guideWords.value.noPlaceNoted;
}
