/**
 * Where the notes are the server's and only what was made of them is not. A record is the fold of its notes, so the records of the lots that
 * differ are folded again from what is here; only if that does not help is the server asked for a lot's notes, one of which the storage
 * may have damaged.
 */
import { recordHash, textHash } from '../../../../sync/fold/fold';
import { addSum, parseSum, sumHex } from '../../../../sync/journal/journal';
import { sendDigest } from '../inbox/digest';
import { sumOf } from '../inbox/pull';
import { mapOf } from '../letgo/gone';
import { isAbsent } from '../letgo/owed';
import { within, type Work } from '../store/base';
import { publish } from '../store/changes';
import { pageAfter, pageUnder } from '../store/pages';
import { recordOf } from '../store/made';
import { headsOf } from '../store/packs/packs';
import { PAGE } from '../store/pageSize';
import { recordSum, stateOfPhone, type Refolded } from '../store/folding';
import { refold } from '../store/refold';
import { DAMAGED, decodeRow, type Cursor, type KeptRow, type LotSum, type Meta } from '../store/shape';
import { checkPack } from './packs';
import { countTry, isLeft, type Tried } from './tries';

/** @returns as repairLots does. @param reread reads one lot's notes again @throws Refusal */
export async function repairRecords(
  cursor: Cursor,
  tried: Tried,
  reread: (cursor: Cursor, lot: string, has: LotSum) => Promise<unknown>,
): Promise<readonly string[] | undefined> {
  // What reading all of it again did not help stays so, and every record would be read after each note.
  if (tried.whole === cursor.epoch) return [];
  const sums = await sumsOfRecords();
  // Somebody has noted something meanwhile.
  if (!sums) return undefined;
  const { answer } = await sendDigest(cursor, sums);
  if (!answer || (answer.differ ?? []).length > 0) return undefined;
  const named = answer.records_differ ?? [];
  const left = named.filter((lot) => isLeft(tried, lot));
  if (answer.more || left.length === 0) return [];
  const folded = new Set<string>();
  for (const lot of left) {
    if (!tried.lots.has(lot)) folded.add(lot);
    // What is of another position was no try.
    else if (lot !== '' && !(await reread(cursor, lot, await counted(lot)))) continue;
    countTry(tried, lot);
  }
  if (folded.size > 0) await foldLots(folded);
  return undefined;
}

/** What this phone has counted of a lot: of its notes the server has just said that they are the same. */
async function counted(lot: string): Promise<LotSum> {
  return within('readonly', ['meta'], async (work) => {
    return sumOf((await work.objectStore('meta').get('sums')) as Meta['sums'] | undefined, lot);
  });
}

/**
 * Adds up the records of each lot, page by page. A record whose text has another hash than it had when it was written is folded again, and
 * the sum of all records follows what was found.
 * @returns undefined when something was written between two pages
 */
async function sumsOfRecords(): Promise<ReadonlyMap<string, string> | undefined> {
  const sums = new Map<string, bigint>();
  const add = (lot: string, sum: string) => sums.set(lot, addSum(sums.get(lot) ?? 0n, parseSum(sum)));
  let at: string | undefined;
  const inPage = <T>(work: (work: Work) => Promise<T>): Promise<T | undefined> =>
    within('readwrite', ['entries', 'records', 'meta'], async (transaction) => {
      const now = (await stateOfPhone(transaction))?.state ?? '';
      if (at !== undefined && now !== at) return undefined;
      at = now;
      return work(transaction);
    });
  for (let after: string | undefined = ''; after !== undefined;) {
    const from: string = after;
    const page = await inPage(async (work) => {
      const records = work.objectStore('records');
      const read = await pageAfter(records, from);
      const bad = read.filter(isSpoilt).map(({ key }) => key);
      const folded = await refold(work, bad);
      const rows = bad.length > 0 ? await pageAfter(records, from) : read;
      for (const row of rows) if (row.hash) add(decodeRow(row)?.record.lot ?? '', row.hash);
      return { folded, last: rows.length === PAGE ? rows[PAGE - 1]?.key : undefined };
    });
    if (!page) return undefined;
    publish(page.folded);
    after = page.last;
  }
  const heads = await within('readonly', ['records'], headsOf);
  for (const { name } of heads) {
    const rows = await inPage(async (work) => {
      const head = await work.objectStore('packs').get(name);
      return head && checkPack(work, head);
    });
    if (!rows) return undefined;
    for (const record of rows.map(recordOf)) if (record) add(record.lot ?? '', sumHex(recordHash(record)));
  }
  const whole = await inPage(async (work) => {
    for (const [lot, gone] of await mapOf(work, 'gone')) add(lot, gone.records);
    await keepSum(work, [...sums.values()].reduce(addSum, 0n));
    return true;
  });
  return whole ? new Map([...sums].map(([lot, sum]) => [lot, sumHex(sum)])) : undefined;
}

/** Puts the sum of all records right where it was not that of the rows. */
async function keepSum(work: Work, sum: bigint): Promise<void> {
  if ((await recordSum(work)) !== sumHex(sum)) await work.objectStore('meta').put(sumHex(sum), 'recordSum');
}

/** True for a record whose text is not the one that was written. */
function isSpoilt(row: KeptRow): boolean {
  if (row.fact === DAMAGED) return false;
  if (!decodeRow(row)) return true;
  return row.hash !== undefined && sumHex(textHash(row.text)) !== row.hash;
}

/** Folds all records of some lots again, a page a transaction; those too that have lost their row. */
async function foldLots(lots: ReadonlySet<string>): Promise<void> {
  const inPages = async (
    next: (work: Work, after: string) => Promise<{ folded: Refolded; last: string | undefined }>,
  ) => {
    for (let after: string | undefined = ''; after !== undefined;) {
      const from: string = after;
      const page = await within('readwrite', ['entries', 'records', 'meta'], (work) => next(work, from));
      publish(page.folded);
      after = page.last;
    }
  };
  await inPages(async (work, after) => {
    const rows = await pageAfter(work.objectStore('records'), after);
    const keys = rows.filter((row) => lots.has(decodeRow(row)?.record.lot ?? '')).map(({ key }) => key);
    return {
      folded: await refold(work, await foldable(work, keys)),
      last: rows.length === PAGE ? rows[PAGE - 1]?.key : undefined,
    };
  });
  for (const lot of lots) {
    if (lot === '') continue;
    await inPages(async (work, after) => {
      const [entries, records] = [work.objectStore('entries'), work.objectStore('records')];
      const rows = await pageUnder(entries.index('lot'), lot, after);
      const lost: string[] = [];
      for (const key of new Set(rows.flatMap((row) => row.keys)))
        if ((await records.getKey(key)) === undefined) lost.push(key);
      return {
        folded: await refold(work, await foldable(work, lost)),
        last: rows.length === PAGE ? rows[PAGE - 1]?.id : undefined,
      };
    });
  }
}

/** Without those whose first note was let go: what is here of them are late notes alone, which would make another record. */
async function foldable(work: Work, keys: readonly string[]): Promise<string[]> {
  if ((await mapOf(work, 'gone')).size === 0) return [...keys];
  const here: string[] = [];
  for (const key of keys) if (!(await isAbsent(work, key))) here.push(key);
  return here;
}
