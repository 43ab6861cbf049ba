import type { Record, Stamped } from '../../schema/types';
import { author, Voids } from './void.ts';

/** Makes the record of a single note, as it was written. It belongs to the lot and bed that its envelope names. */
export function foldFact(
  key: string,
  id: string,
  kinds: ReadonlySet<string>,
  set: readonly Stamped[],
): Record | undefined {
  const by = set.find(({ entry }) => entry.id === id && kinds.has(entry.kind));
  if (!by) return undefined;
  const { kind, body, lot, bed } = by.entry;
  const record: Record = { key, fact: { kind, body, by: author(by) } };
  if (lot) record.lot = lot;
  if (bed) record.bed = bed;
  const voided = new Voids(set).of([by]);
  if (voided && record.fact) record.fact.voided = voided;
  return record;
}
