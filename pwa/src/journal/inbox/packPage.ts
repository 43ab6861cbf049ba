/** Packs what may be packed of a page of the journal, and has its records in the sum of all records. */
import { textHash } from '../../../../sync/fold/fold';
import { addSum, parseSum, sumHex } from '../../../../sync/journal/journal';
import { unheard, type Work } from '../store/base';
import { moveRecordSum } from '../letgo/gone';
import { madeOf, rowOf } from '../store/made';
import { isPackable, putPack } from '../store/packs/writePack';
import { LEAST, MOST, PAGE } from '../store/pageSize';
import type { EntryRow, RecordRow } from '../store/shape';

/** The records of a page's packed notes, by the ids of these. */
export type PackedPage = ReadonlyMap<string, RecordRow>;

/**
 * Comes before the page's rows are kept, and after what packs had of their records was taken out.
 * @param rows in the order of the journal @param hashes their parts in the sums of their lots
 */
export async function packPage(work: Work, rows: readonly EntryRow[], hashes: readonly bigint[]): Promise<PackedPage> {
  const packed = new Map<string, RecordRow>();
  const named = new Map<string, number>();
  for (const { keys } of rows) for (const key of keys) named.set(key, (named.get(key) ?? 0) + 1);
  const may = rows.flatMap((row, i) => (isPackable(row) && named.get(row.keys[0] ?? '') === 1 ? [{ row, i }] : []));
  if (may.length < LEAST) return packed;
  const hasRow = await potsInRows(work, may);
  const plain = await plainRows(
    work,
    may.flatMap(({ row }) => (hasRow.has(row.keys[0]) ? [row.id] : [])),
  );
  const going: { row: EntryRow; hash: bigint }[] = [];
  let [sum, before] = [0n, 0n];
  may.forEach(({ row, i }) => {
    const part = plain.get(row.id);
    const made = hasRow.has(row.keys[0]) && part === undefined ? undefined : madeOf(row.keys[0] ?? '', [row]);
    if (!made?.record) return;
    const hash = textHash(made.text);
    sum = addSum(sum, hash);
    packed.set(row.id, { ...rowOf(made.record), hash: sumHex(hash) });
    going.push({ row, hash: hashes[i] ?? 0n });
    if (part === undefined) return;
    before = addSum(before, part);
    unheard(work.objectStore('entries').delete(row.id));
    unheard(work.objectStore('records').delete(row.keys[0] ?? ''));
  });
  if (going.length === 0) return packed;
  const most = Math.ceil(going.length / Math.ceil(going.length / MOST));
  for (let from = 0; from < going.length; from += most) putPack(work, going.slice(from, from + most));
  await moveRecordSum(work, { add: sumHex(sum), take: sumHex(before) });
  return packed;
}

/** The keys of pots that have a row. In a first pull these are few, and one question answers for a whole page. */
async function potsInRows(work: Work, of: readonly { row: EntryRow }[]): Promise<ReadonlySet<unknown>> {
  const records = work.objectStore('records');
  const all = await records.getAllKeys(IDBKeyRange.bound('pot:', 'pot:\uffff'), PAGE);
  return new Set(all.length < PAGE ? all : await Promise.all(of.map(({ row }) => records.getKey(row.keys[0] ?? ''))));
}

/**
 * Of others' pots that have rows and come once more, as when the journal is read again: those about which nothing but their own note is
 * here, each with its part in the sum of all records. Their rows would be written again as the page has them, and so may be packed.
 */
async function plainRows(work: Work, ids: readonly string[]): Promise<ReadonlyMap<string, bigint>> {
  const [entries, records] = [work.objectStore('entries'), work.objectStore('records')];
  const found = await Promise.all(
    ids.map(async (id) => {
      const key = `pot:${id}`;
      const [about, row, record] = await Promise.all([
        entries.index('keys').getAllKeys(key, 2),
        entries.get(id),
        records.get(key),
      ]);
      const isPlain = about.length === 1 && about[0] === id && row && !row.own && row.text === undefined;
      return isPlain ? [[id, record?.hash ? parseSum(record.hash) : 0n] as const] : [];
    }),
  );
  return new Map(found.flat());
}
