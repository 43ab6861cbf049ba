/** Records as they are made of their entries and kept, inside the transaction that changed the entries. */
import { keys as keysOf, textHash } from '../../../../sync/fold/fold';
import { addSum, parseSum, subSum, sumHex } from '../../../../sync/journal/journal';
import type { Entry } from '../../../../schema/types';
import { DAMAGED, decodeRow, type Cursor, type EntryRow, type KeptRow, type RecordRow, type Writer } from './shape';
import { unheard, type Reading, type Work } from './base';
import { madeOf, prefixOf, rowOf } from './made';
import { allUnder, type Index } from './pages';

export interface Refolded {
  rows: RecordRow[];
  gone: string[];
  /** Those of the gone that have entries and cannot be folded. */
  damaged: string[];
  /** How many of the rows replace one whose text the storage damaged, whoever had the record folded and why. */
  repaired: number;
}

/**
 * Takes away what was said in short of the beds of these pots: it was computed without them, and an app that is ended before it computes
 * it again would not see that.
 */
export function forgetBriefs(work: Work, { rows }: Refolded): void {
  const beds = new Set(rows.flatMap(({ kind, bed }) => (kind === 'pot' && bed !== undefined ? [bed] : [])));
  for (const bed of beds) unheard(work.objectStore('briefs').delete(bed));
}

/** What a record is folded from, and its row as it was, whose part in the hash over all records ends. */
export interface Parts {
  rows: readonly EntryRow[];
  old?: KeptRow | undefined;
}

/** Record keys of an entry, each once. A kind that this build does not know has none: it is kept and passed on unread. */
export function keysOfEntry(entry: Entry): string[] {
  return [...new Set(keysOf(entry))];
}

/**
 * All entries of a record, which can be folded from no fewer, once what packs have of it was taken out.
 * @param keys the index of entries by the keys of their records
 */
export function entriesOf(keys: Index<EntryRow>, key: string): Promise<EntryRow[]> {
  return allUnder(keys, key, (row) => row.id);
}

/** Puts what was folded into the same report. */
export function addFolded(to: Refolded, { rows, gone, damaged, repaired }: Refolded): void {
  for (const row of rows) to.rows.push(row);
  to.gone.push(...gone);
  to.damaged.push(...damaged);
  to.repaired += repaired;
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
  const keys = [...parts.keys()];
  const [sum, ...olds] = await Promise.all([recordSum(work), ...(knownNew ? [] : keys.map((key) => records.get(key)))]);
  return putFolded(work, new Map(keys.map((key, i) => [key, { rows: parts.get(key) ?? [], old: olds[i] }])), sum);
}

/**
 * Names what has been read and written here: what several transactions found holds together only while that stays. With it the newest time
 * that the server gave, ms since 1970. Undefined before the first reading.
 */
export async function stateOfPhone(work: Reading): Promise<{ state: string; now: number } | undefined> {
  const meta = work.objectStore('meta');
  const [cursor, writer] = (await Promise.all([meta.get('cursor'), meta.get('writer')])) as [
    Cursor | undefined,
    Writer | undefined,
  ];
  if (!cursor || !writer) return undefined;
  return { state: [cursor.epoch, cursor.position, writer.inc, writer.seq].join(' '), now: writer.floor };
}

/** The hash over all records as it stands. */
export async function recordSum(work: Work): Promise<string> {
  return ((await work.objectStore('meta').get('recordSum')) as string | undefined) ?? sumHex(0n);
}

/** Folds what was read and writes the records, without another turn of reading. */
export function putFolded(work: Work, parts: ReadonlyMap<string, Parts>, sumBefore: string): Refolded {
  const records = work.objectStore('records');
  const folded: Refolded = { rows: [], gone: [], damaged: [], repaired: 0 };
  let sum = parseSum(sumBefore);
  for (const [key, { rows, old }] of parts) {
    if (old?.hash) sum = subSum(sum, parseSum(old.hash));
    const made = madeOf(key, rows);
    if (!made) {
      // Without a text, as a record that the storage damaged; and without a hash, as on every other device.
      folded.gone.push(key);
      folded.damaged.push(key);
      unheard(records.put({ key, kind: prefixOf(key), fact: DAMAGED, text: '' }));
      continue;
    }
    const { record, text } = made;
    const { record: _kept, ...row } = rowOf(record ?? { key });
    if (record) {
      const hash = textHash(text);
      sum = addSum(sum, hash);
      row.hash = sumHex(hash);
      folded.rows.push({ ...row, record });
      if (old && old.fact !== DAMAGED && !decodeRow(old)) folded.repaired++;
    } else {
      folded.gone.push(key);
    }
    unheard(records.put({ ...row, text }));
  }
  unheard(work.objectStore('meta').put(sumHex(sum), 'recordSum'));
  return folded;
}
