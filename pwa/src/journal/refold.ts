/** Folds records anew from their entries, inside the transaction that changed the entries. */
import { fold, keys as keysOf } from '../../../sync/fold/fold';
import type { Entry, Record as Folded, Stamp, Stamped } from '../../../schema/types';
import type { EntryRow, RecordRow } from './shape';
import type { Work } from './base';

export interface Refolded {
  rows: RecordRow[];
  gone: string[];
}

/** Record keys of an entry, each once. A kind that this build does not know has none: it is kept and passed on unread. */
export function keysOfEntry(entry: Entry): string[] {
  return [...new Set(keysOf(entry))];
}

/** What an entry's stamp is until the server gives one: it sorts last, by incarnation and sequence. */
export function pendingStamp(entry: Entry): Stamp {
  return { at: entry.wall, quality: 'pending', from: entry.wall, to: entry.wall };
}

export async function refold(work: Work, keys: Iterable<string>): Promise<Refolded> {
  const entries = work.objectStore('entries').index('keys');
  const records = work.objectStore('records');
  const folded: Refolded = { rows: [], gone: [] };
  await Promise.all(
    [...new Set(keys)].map(async (key) => {
      const parts = (await entries.getAll(key)).filter((row) => row.state === undefined);
      const record = fold(key, parts.map(stamped));
      if (record) {
        const row = rowOf(record);
        folded.rows.push(row);
        await records.put(row);
      } else {
        folded.gone.push(key);
        await records.delete(key);
      }
    }),
  );
  return folded;
}

export function stamped(row: EntryRow): Stamped {
  return { entry: row.entry, stamp: row.stamp, position: row.position };
}

/** Adds to a record what it is looked up by; a look-up field that a record lacks keeps it out of that index. */
export function rowOf(record: Folded): RecordRow {
  const prefix = record.key.slice(0, record.key.indexOf(':'));
  const row: RecordRow = { key: record.key, kind: record.fact?.kind ?? prefix, record };
  const place = placeOf(record);
  if (place.bed) row.bed = place.bed;
  if (place.lot) row.lot = place.lot;
  if (place.walk) row.walk = place.walk;
  return row;
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
