/** Strikes notes out of the records, and takes that back. */
import type { Void } from '../../../../schema/types';
import { intent, save } from './write';

/** What one void or unvoid names, and where the thing is. */
export interface VoidTarget {
  /** The entry that is struck out, or the void that is taken back. */
  names: string;
  /** Every record that the struck entry has a part in. */
  records: string[];
  place: { lot?: string; bed?: string };
}

/** The void of each, in one save. @returns what takes all of it back @throws NotSaved */
export async function voidEntries(all: readonly VoidTarget[], why: Void['why']): Promise<() => Promise<void>> {
  const saved = await save(all.map(({ names, records, place }) => intent('void', { names, records, why }, place)));
  return () => unvoid(all.map((each, i) => ({ ...each, names: saved[i]?.entry.id ?? '' })));
}

/** Takes voids back, in one save. @throws NotSaved */
export async function unvoid(voids: readonly VoidTarget[]): Promise<void> {
  await save(voids.map(({ names, records, place }) => intent('unvoid', { names, records }, place)));
}
