/** Folds records anew from their entries, inside the transaction that changed the entries. */
import { fold, keys as keysOf, recordHash } from '../../../sync/fold/fold';
import { addSum, parseSum, subSum, sumHex } from '../../../sync/journal/journal';
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

/** Folds each key anew from all its entries in the database. */
export async function refold(work: Work, keys: Iterable<string>): Promise<Refolded> {
  const entries = work.objectStore('entries').index('keys');
  const parts = await Promise.all([...new Set(keys)].map(async (key) => [key, await entries.getAll(key)] as const));
  return keepFolded(work, new Map(parts));
}

/**
 * Folds and keeps records from their entries as given. A key whose entries make no record yet (a void that came before
 * its target) is kept as an empty row, so that every key with an entry has a row. The hash over all records is kept
 * along: it shows the server whether the same entries make the same records here.
 */
export async function keepFolded(
  work: Work,
  parts: ReadonlyMap<string, readonly EntryRow[]>,
  knownNew = false,
): Promise<Refolded> {
  const records = work.objectStore('records');
  const meta = work.objectStore('meta');
  const folded: Refolded = { rows: [], gone: [] };
  const olds = knownNew ? [] : await Promise.all([...parts.keys()].map((key) => records.get(key)));
  let sum = parseSum(((await meta.get('recordSum')) as string | undefined) ?? sumHex(0n));
  for (const old of olds) if (old?.hash) sum = subSum(sum, parseSum(old.hash));
  const puts: Promise<unknown>[] = [];
  for (const [key, rows] of parts) {
    const record = fold(key, rows.filter(counts).map(stamped));
    const row = rowOf(record ?? { key });
    if (record) {
      const hash = recordHash(record);
      sum = addSum(sum, hash);
      row.hash = sumHex(hash);
      folded.rows.push(row);
    } else {
      folded.gone.push(key);
    }
    puts.push(records.put(row));
  }
  puts.push(meta.put(sumHex(sum), 'recordSum'));
  await Promise.all(puts);
  return folded;
}

/**
 * An entry as it is folded here. One that the server keeps apart counts on its own phone like one that waits: what a
 * person noted does not vanish from their screen while the supervisor thinks it over.
 */
export function stamped(row: EntryRow): Stamped {
  const apart = row.state !== undefined;
  return { entry: row.entry, stamp: apart ? pendingStamp(row.entry) : row.stamp, position: row.position };
}

/** False for what the server keeps out of its records for good, or of another's until somebody has decided. */
function counts(row: EntryRow): boolean {
  return row.state !== 'left' && !row.handed;
}

/**
 * Adds to a record what it is looked up by. A field that a row lacks keeps it out of that index, and each index costs
 * time at every save: so pots, which are most of all, are found by their walk only.
 */
export function rowOf(record: Folded): RecordRow {
  const prefix = record.key.slice(0, record.key.indexOf(':'));
  const row: RecordRow = { key: record.key, kind: record.fact?.kind ?? prefix, record };
  const place = placeOf(record);
  if (place.bed) row.bed = place.bed;
  if (place.walk) row.walk = place.walk;
  if (record.fact) {
    row.fact = record.fact.kind;
    if (place.bed) row.factBed = [record.fact.kind, place.bed];
    if (place.lot) row.factLot = [record.fact.kind, place.lot];
  }
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
