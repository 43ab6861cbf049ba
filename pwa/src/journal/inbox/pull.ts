/**
 * Takes what others wrote. Each page's entries, the records folded from them, the lot sums and the cursor are written in
 * one transaction, so the cursor can never be ahead of the notes that it stands for.
 */
import type { Entry } from '../../../../schema/types';
import { addSum, canonical, entryHash, parseSum, sumHex } from '../../../../sync/journal/journal';
import { unheard, within, type Work } from '../store/base';
import { publish } from '../store/changes';
import { heardServer } from '../outbox/push';
import { hashOf } from '../store/made';
import type { PackedPage } from './packPage';
import { LEAST } from '../store/pageSize';
import { packsIn } from '../store/packs/script';
import { addFolded, keepFolded, keysOfEntry, type Refolded } from '../store/folding';
import { refold } from '../store/refold';
import { owe } from '../letgo/owed';
import { isRead, type Cursor, type EntryRow, type KnownMe, type LotSum, type Writer } from '../store/shape';
import { pull, withReceipts, type PulledPage, type Received } from '../wire';

/** The first page is small, so that a phone with little to learn has learned it at once. */
const FIRST_PAGE = 100;
const PAGE = 500;

/**
 * Pulls to the head; between two pages there is time to send. While one page is being kept the next is asked for: most of
 * the time of a first pull goes into the database, which leaves this thread and the network idle.
 * @throws Refusal
 */
export async function pullAll(heard: (cursor: Cursor) => Promise<void>): Promise<Cursor> {
  let ahead: Ahead | undefined;
  for (let limit = FIRST_PAGE; ; limit = PAGE) {
    const cursor = await cursorNow();
    const from = await asFirst(cursor);
    const page = await (ahead && pageFor(ahead.from) === pageFor(from) ? ahead.page : pull(from, limit));
    ahead = page.more ? askAhead(moved(cursor, page, lastOf(page))) : undefined;
    const next = await keepPage(page);
    await heard(next);
    if (!page.more) return next;
  }
}

/** A page on its way, and the cursor with which it was asked for. */
interface Ahead {
  from: Cursor;
  page: Promise<PulledPage>;
}

function askAhead(from: Cursor): Ahead {
  const page = pull(from, PAGE);
  // What is wrong with it matters only to who waits for it, and nobody may: the page before it may not be kept.
  unheard(page);
  return { from, page };
}

/** Names the page that is asked for with a cursor. What happened since may have set it back, or read on in another tab. */
const pageFor = ({ epoch, position, proof, first }: Cursor) => [epoch, position, proof, first].join(' ');

function lastOf(page: PulledPage): EntryRow | undefined {
  const item = withReceipts(page).at(-1);
  return item && received(item, undefined);
}

/** Where a cursor stands after a page. @param last the page's last entry */
function moved(before: Cursor, page: PulledPage, last: EntryRow | undefined): Cursor {
  const isFurther = last !== undefined && last.position > before.position;
  const { first } = page;
  const proof = first ? first.proof : isFurther ? proofOf(last) : before.proof;
  return {
    epoch: page.epoch,
    position: first ? first.passed : isFurther ? last.position : before.position,
    ...(proof !== undefined && { proof }),
    head: page.head,
    backedUpTo: page.backed_up_to,
    whole: isRead(before) || !page.more,
    ...(before.began !== undefined && { began: before.began }),
    ...((first || before.first !== undefined) && { first: first?.resume ?? before.first }),
  };
}

export async function cursorNow(): Promise<Cursor> {
  return within('readonly', ['meta'], async (work) => readCursor(work.objectStore('meta')));
}

async function readCursor(meta: { get: (key: string) => Promise<unknown> }): Promise<Cursor> {
  const kept = (await meta.get('cursor')) as Cursor | undefined;
  return kept ?? { epoch: '', position: 0, head: 0, backedUpTo: 0, whole: false };
}

/**
 * A scout's phone that holds nothing yet leaves out what is closed; what an older server does not know it does not leave out. A page
 * without a mark of such a pull is whole.
 */
async function asFirst(cursor: Cursor): Promise<Cursor> {
  if (cursor.position > 0 || cursor.whole !== false || cursor.first !== undefined) return cursor;
  return within('readonly', ['meta', 'entries'], async (work) => {
    const known = (await work.objectStore('meta').get('me')) as KnownMe | undefined;
    const held = await Promise.all([work.objectStore('entries').count(), work.objectStore('packs').count()]);
    return known?.role === 'scout' && held.every((count) => count === 0) ? { ...cursor, first: '1' } : cursor;
  });
}

async function keepPage(page: PulledPage): Promise<Cursor> {
  // The script comes with the first long page.
  const packPage = page.items.length < LEAST ? packNothing : (await import('./packPage')).packPage;
  const { cursor, folded } = await within('readwrite', ['entries', 'records', 'meta'], async (work) => {
    const before = await readCursor(work.objectStore('meta'));
    const { rows, packed } = await keepEntries(work, page, before, packPage);
    const cursor = moved(before, page, rows.at(-1));
    await work.objectStore('meta').put(cursor, 'cursor');
    await heardServer(work, page.server_now, page.backed_up_to);
    const owed = await owe(work, rows, cursor.first !== undefined);
    const inRows = rows.filter((row) => !packed.has(row.id));
    return { cursor, folded: addPacked(await refoldPage(work, inRows, owed), packed) };
  });
  publish({ ...folded, queue: true });
  return cursor;
}

type PackPage = typeof import('./packPage').packPage;

const packNothing: PackPage = async () => new Map();

/** Keeps a page's entries: what may be packed in a pack, all else in rows. */
async function keepEntries(
  work: Work,
  page: PulledPage,
  before: Cursor,
  packPage: PackPage,
): Promise<{ rows: EntryRow[]; packed: PackedPage }> {
  const [entries, meta] = [work.objectStore('entries'), work.objectStore('meta')];
  const [writer, unconfirmed] = (await Promise.all([meta.get('writer'), meta.get('unconfirmed')])) as [
    Writer | undefined,
    unknown,
  ];
  const devices = new Set([writer?.device ?? '', ...(writer?.earlier ?? [])]);
  const rows = await Promise.all(
    withReceipts(page).map(async (item) =>
      received(item, isForeign(item, devices) ? undefined : await entries.get(idOf(item))),
    ),
  );
  const hashes = page.hashes ?? rows.map(hashOf);
  // Past the cursor nothing comes once more, except what the server may have lost: packs need not be looked through.
  const isNew = unconfirmed === undefined && (rows[0]?.position ?? 0) > before.position;
  await (await packsIn(work))?.takeOutFor(work, rows, isNew);
  const packed = await packPage(work, rows, hashes);
  await Promise.all(rows.map((row) => (packed.has(row.id) ? undefined : entries.put(row))));
  await countIn(work, rows, hashes);
  return { rows, packed };
}

/** The records of what was packed go where all changes go. */
function addPacked(folded: Refolded, packed: PackedPage): Refolded {
  for (const row of packed.values()) folded.rows.push(row);
  return folded;
}

/** Of this phone's own notes there are the bytes as sent and their chain, which are kept; of others' there is nothing. */
function isForeign(item: Received, devices: ReadonlySet<string>): boolean {
  return !devices.has((item.entry as Entry).device);
}

/**
 * Folds a page's records: those that are new here from the page alone, a fifth of the work, the others from all their entries. A key
 * with any entry has a row among the records, so one question a key, inside this transaction, says which they are. Owed ones are not
 * folded.
 */
async function refoldPage(work: Work, rows: readonly EntryRow[], owed: ReadonlySet<string>): Promise<Refolded> {
  const byKey = new Map<string, EntryRow[]>();
  for (const row of rows) {
    for (const key of row.keys) if (!owed.has(key)) byKey.set(key, [...(byKey.get(key) ?? []), row]);
  }
  const records = work.objectStore('records');
  const known = new Set(await Promise.all([...byKey.keys()].map((key) => records.getKey(key))));
  const fresh = new Map([...byKey].filter(([key]) => !known.has(key)));
  const old = [...byKey.keys()].filter((key) => known.has(key));
  const folded = await keepFolded(work, fresh, true);
  addFolded(folded, await refold(work, old));
  return folded;
}

function idOf(item: Received): string {
  return (item.entry as Entry).id;
}

/** @param known the row of one's own note, undefined for another's */
export function received(item: Received, known: EntryRow | undefined): EntryRow {
  const entry = item.entry as Entry;
  const row: EntryRow = { id: entry.id, entry, stamp: item.stamp, position: item.position, keys: keysOfEntry(entry) };
  if (item.receipt !== '') row.receipt = [item.position, item.receipt];
  // The server's bytes are the record's; of one's own note the sent text and its chain are kept besides, for sending
  // it again after a restored backup.
  if (known?.own) row.own = known.own;
  if (known?.text !== undefined) row.text = known.text;
  if (known?.chain !== undefined) row.chain = known.chain;
  return row;
}

/** What proves a cursor that stands at this entry; undefined for one that came without a receipt. */
export function proofOf({ entry, stamp, position, receipt }: EntryRow): string | undefined {
  if (receipt?.[0] !== position) return undefined;
  return sumHex(entryHash(canonical(entry), stamp)) + receipt[1];
}

/** Adds entries that have come into the cursor's reach to the sums of their lots. @param hashes theirs, where they are known */
async function countIn(work: Work, rows: readonly EntryRow[], hashes?: readonly bigint[]): Promise<void> {
  const meta = work.objectStore('meta');
  const sums = ((await meta.get('sums')) as Record<string, LotSum> | undefined) ?? {};
  rows.forEach((row, i) => addTo(sums, row, hashes?.[i]));
  await meta.put(sums, 'sums');
}

/** What is counted of a lot; nothing where none of its notes was. */
export function sumOf(sums: Record<string, LotSum> | undefined, lot: string): LotSum {
  return (sums && Object.hasOwn(sums, lot) && sums[lot]) || { count: 0, sum: sumHex(0n) };
}

/** True where these are as many notes of the lot, and of the same sum, as is said: then they are the same notes. */
export function isAllOf(lot: string, said: LotSum, rows: readonly EntryRow[]): boolean {
  const sums: Record<string, LotSum> = {};
  for (const row of rows) addTo(sums, row);
  const { count, sum } = sumOf(sums, lot);
  return rows.every(({ entry }) => entry.lot === lot) && count === said.count && sum === said.sum;
}

export function addTo(sums: Record<string, LotSum>, row: EntryRow, hash = hashOf(row)): void {
  addSumTo(sums, row.entry.lot ?? '', { count: 1, sum: sumHex(hash) });
}

/** Adds notes of a lot to its sum. */
export function addSumTo(sums: Record<string, LotSum>, lot: string, more: LotSum): void {
  const sum = sumOf(sums, lot);
  const value = { count: sum.count + more.count, sum: sumHex(addSum(parseSum(sum.sum), parseSum(more.sum))) };
  // Defined, not assigned: a lot may have any name, __proto__ too, in what an older server merged.
  Object.defineProperty(sums, lot, { value, writable: true, enumerable: true, configurable: true });
}
