/** What is made of entries: their part in the sum of their lot, and of all entries of a key the record, its text and its row. */
import { fold } from '../../../../sync/fold/fold';
import { canonical, canonicalRecord, entryHash } from '../../../../sync/journal/journal';
import type { Record as Folded, Stamped } from '../../../../schema/types';
import { counts, isApart, pendingStamp } from './entryState';
import { isInProgress, type EntryRow, type RecordRow } from './shape';

/** Zero for what has no canonical bytes here: the server then names its lot as one that differs, and the page is kept. */
export function hashOf(row: EntryRow): bigint {
  try {
    return entryHash(canonical(row.entry), row.stamp);
  } catch {
    return 0n;
  }
}

/**
 * An entry that cannot be folded stays with its record for itself: the page that it came in is kept, and the cursor
 * goes on. The server holds such entries; what comes all the same was merged by an older build, or is meant for a later.
 */
export function madeOf(
  key: string,
  rows: readonly EntryRow[],
): { record: Folded | undefined; text: string } | undefined {
  try {
    const record = fold(key, rows.filter(counts).map(stamped));
    return { record, text: canonicalRecord(record ?? { key }) };
  } catch {
    return undefined;
  }
}

/** The record of a note of a pot that nothing else is about. */
export function recordOf(row: EntryRow): Folded | undefined {
  try {
    return fold(row.keys[0] ?? '', [stamped(row)]);
  } catch {
    return undefined;
  }
}

/**
 * An entry as it is folded here. One that the server did not merge counts on its own phone like one in the outbox: what a
 * person noted does not vanish from their screen while the supervisor thinks it over.
 */
export function stamped(row: EntryRow): Stamped {
  return { entry: row.entry, stamp: isApart(row) ? pendingStamp(row.entry) : row.stamp, position: row.position };
}

/**
 * Adds to a record what it is looked up by. A field that a row lacks keeps it out of that index, and each index costs
 * time at every save: so pots, which are most of all, are found by their walk only.
 */
export function rowOf(record: Folded): RecordRow {
  const row: RecordRow = { key: record.key, kind: record.fact?.kind ?? prefixOf(record.key), record };
  const place = placeOf(record);
  if (place.bed) row.bed = place.bed;
  if (place.walk) row.walk = place.walk;
  if (isInProgress(record)) row.inProgress = 1;
  if (record.fact) {
    row.fact = record.fact.kind;
    if (place.bed) row.factBed = [record.fact.kind, place.bed];
    if (place.lot) row.factLot = [record.fact.kind, place.lot];
  }
  return row;
}

export function prefixOf(key: string): string {
  return key.slice(0, key.indexOf(':'));
}

function placeOf(record: Folded): { bed?: string | undefined; lot?: string | undefined; walk?: string | undefined } {
  if (record.pot) return record.pot.now;
  if (record.walk) return { bed: record.walk.open?.bed ?? record.walk.end?.bed ?? record.bed };
  if (record.fact) {
    const body = record.fact.body as { bed?: string; lot?: string; walk?: string };
    return { bed: body.bed ?? record.bed, lot: body.lot ?? record.lot, walk: body.walk };
  }
  return { bed: record.bed, lot: record.lot };
}
