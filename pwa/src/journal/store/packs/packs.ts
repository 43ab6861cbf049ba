/**
 * Packs: what other devices noted of pots and nobody has touched since lies here, some hundred notes a row, and has neither a row of
 * entries nor one of records. A note is taken out before anything changes its record; from then on it lies in rows, and the row counts.
 * This is the one way to what is packed.
 */
import { addSum, parseSum, subSum, sumHex } from '../../../../../sync/journal/journal';
import { unheard, type Reading, type Work } from '../base';
import { randomId } from '../device';
import { doubt } from '../entryState';
import { hashOf, recordOf, rowOf } from '../made';
import { PAGE } from '../pageSize';
import { allBetween, allUnder } from '../pages';
import type { EntryRow, LotSum, PackHead, RecordRow } from '../shape';
import { Pack, type PackBody } from './columns';

export const WALK = 'entry.body.walk';
export const LOT = 'entry.lot';

/** Packs were found that cannot be read, by the names of their heads; true for those of which even to ask for the body fails. */
const damaged = new Map<string, boolean>();
/** Stands there for heads that the browser refuses: of some read together it does not say which. */
export const HEADS = '';
/** False once heads were refused: from then on each is asked for by its name. */
let areReadTogether = true;
/** How a browser says that a value is there and its bytes are not. Other refusals may pass. */
const LOST = new Set(['DataError', 'NotReadableError']);

/** True for what a browser throws where the bytes of a value are gone. */
export function isLost(error: unknown): boolean {
  return error instanceof DOMException && LOST.has(error.name);
}
let whenDamaged: () => void = () => undefined;

/** Called when a pack was found that cannot be read, until it is seen to. */
export function onDamagedPack(see: () => void): void {
  whenDamaged = see;
}

/** The names of the packs that this thread could not read; true for those that are not to be asked for again. */
export function damagedPacks(): [name: string, refused: boolean][] {
  return [...damaged];
}

/** The name of a body is that of its head up to here, so that names alone say whether each has the other. */
const BODY = 32;
/** Behind it a head has so many random digits. An earlier build gave it a random name of as many as a body. */
const OF_HEAD = 12;

/** The name of the body of a head; undefined where the head was named by an earlier build. */
export function bodyNamed(head: string): string | undefined {
  return head.length > BODY ? head.slice(0, BODY) : undefined;
}

/** By the name of the head; what is read under a name holds for ever. */
const known = new Map<string, PackHead>();
/** The bodies that were read last, the newest last. */
const opened = new Map<string, Pack>();
const MOST_OPEN = 6;
/** More heads than this are read together with all others. */
const FEW = 20;

/** The heads of all packs. */
export async function headsOf(work: Reading): Promise<PackHead[]> {
  const packs = work.objectStore('packs');
  const names = await keysOf(packs);
  const now = new Set(names);
  for (const name of known.keys()) if (!now.has(name)) known.delete(name);
  const heads: PackHead[] = [];
  const missing = names.filter((name) => !known.has(name));
  const read = await askForHeads<PackHead | undefined>(() =>
    missing.length > FEW && areReadTogether
      ? allBetween(packs, '', '\uffff', ({ name }) => name)
      : Promise.all(missing.map((name) => packs.get(name))),
  );
  for (const head of read) if (head) known.set(head.name, head);
  for (const name of names) {
    const head = known.get(name);
    if (head) heads.push(head);
  }
  return heads;
}

/** Reads heads; where the browser refuses one, that is seen to. */
async function askForHeads<T>(read: () => Promise<T[]>): Promise<T[]> {
  try {
    return await read();
  } catch (error) {
    if (isLost(error)) {
      areReadTogether = false;
      damaged.set(HEADS, true);
      whenDamaged();
    }
    throw error;
  }
}

/** True where each head has its body, and each body its head. */
export async function areAllPaired(work: Reading): Promise<boolean> {
  const bodies = new Set(await keysOf(work.objectStore('packed')));
  const isPaired = (name: string) => bodies.delete(name.slice(0, BODY));
  const rest = (await keysOf(work.objectStore('packs'))).filter((name) => name.length === BODY || !isPaired(name));
  if (rest.some((name) => name.length > BODY)) return false;
  if (rest.length === 0) return bodies.size === 0;
  return (await headsOf(work)).filter(({ body }) => bodies.delete(body)).length === rest.length && bodies.size === 0;
}

/** All names in a store of packs, read page by page. */
export async function keysOf(store: {
  getAllKeys: (after: IDBKeyRange, most: number) => Promise<string[]>;
}): Promise<string[]> {
  const names: string[] = [];
  for (let after = ''; ;) {
    const page = await store.getAllKeys(IDBKeyRange.lowerBound(after, true), PAGE);
    names.push(...page);
    if (page.length < PAGE) return names;
    after = page[page.length - 1] as string;
  }
}

/** The notes of a pack; undefined, and it is seen to, where they cannot be read. */
export async function openPack(work: Reading, head: PackHead): Promise<Pack | undefined> {
  try {
    const kept = opened.get(head.body);
    const body = kept ? undefined : await work.objectStore('packed').get(head.body);
    if (!kept && !body) throw new Error('the body of a pack is gone');
    const read = kept ?? new Pack(body as PackBody);
    const outs = new Set(head.out).size;
    if (read.size !== head.ids.length || read.size !== head.count + outs || outs !== head.out.length)
      throw new Error('a pack does not fit its head');
    if (kept) return kept;
    opened.set(head.body, read);
    for (const name of opened.keys()) {
      if (opened.size <= MOST_OPEN) break;
      opened.delete(name);
    }
    return read;
  } catch (error) {
    const refused = error instanceof DOMException;
    if (refused && !isLost(error)) throw error;
    damaged.set(head.name, refused);
    whenDamaged();
    // A question that failed has ended its transaction.
    if (refused) throw error;
    return undefined;
  }
}

/** Forgets what was found damaged and has been seen to. */
export function isSeenTo(name: string): void {
  damaged.delete(name);
}

/** A note that lies in a pack. */
interface Place {
  id: string;
  head: PackHead;
  pack: Pack;
  at: number;
}

/** Where notes lie, of those that are in a pack. */
async function find(work: Reading, ids: Iterable<string>): Promise<Place[]> {
  const found: Place[] = [];
  const wanted = new Set(ids);
  if (wanted.size === 0) return found;
  // Who corrects or strikes out another's pot has just seen it: its pack is open, and no others need be looked through.
  if (wanted.size <= FEW_IDS) found.push(...(await findOpened(work, wanted)));
  if (wanted.size === 0) return found;
  const bits = new Set([...wanted].map(bitsOf));
  for (const head of await headsOf(work)) {
    for (const at of placesOf(head, bits)) {
      if (head.out.includes(at)) continue;
      const pack = await openPack(work, head);
      const id = pack?.id(at);
      if (pack && id !== undefined && wanted.has(id)) found.push({ id, head, pack, at });
    }
  }
  return found;
}

/** Finds notes in the packs that are open. @param wanted without those that were found, afterwards */
async function findOpened(work: Reading, wanted: Set<string>): Promise<Place[]> {
  const found: Place[] = [];
  for (const [body, pack] of opened) {
    const places = [...wanted].map((id) => pack.placeOf(id)).filter((at) => at >= 0);
    if (places.length === 0) continue;
    const named = IDBKeyRange.bound(body, `${body}\uffff`);
    const [head] = await askForHeads(() => work.objectStore('packs').getAll(named, 1));
    if (!head || (await openPack(work, head)) !== pack) continue;
    for (const at of places) {
      const id = pack.id(at);
      if (!head.out.includes(at) && wanted.delete(id)) found.push({ id, head, pack, at });
    }
  }
  return found;
}

/** More ids than this are looked for together, by going over the pack once. */
const FEW_IDS = 20;

/** The places in a pack of ids that begin with these bits. */
function placesOf({ ids }: PackHead, bits: ReadonlySet<number>): number[] {
  const places: number[] = [];
  if (bits.size > FEW_IDS) {
    ids.forEach((each, at) => bits.has(each) && places.push(at));
    return places;
  }
  for (const each of bits) for (let at = ids.indexOf(each); at >= 0; at = ids.indexOf(each, at + 1)) places.push(at);
  return places;
}

/** True for a note that lies in a pack. */
export async function isPacked(work: Reading, id: string): Promise<boolean> {
  return (await packedAmong(work, [id])).size > 0;
}

/** Those of these notes that lie in packs. */
export async function packedAmong(work: Reading, ids: Iterable<string>): Promise<ReadonlySet<string>> {
  return new Set((await find(work, ids)).map(({ id }) => id));
}

/** The notes of a walk that lie in packs; undefined where one of these cannot be read. */
export async function packedOfWalk(work: Reading, walk: string): Promise<EntryRow[] | undefined> {
  const { rows, isWhole } = await under(work, 'walks', walk, WALK);
  return isWhole ? rows : undefined;
}

/** True once this thread has seen that each head has its body, and each body its head. */
let arePaired = false;

/** The records of these. */
export async function packedRecordsOfWalk(work: Reading, walk: string): Promise<RecordRow[] | undefined> {
  arePaired ||= await areAllPaired(work);
  if (!arePaired) {
    // Which walk a body without its head has pots of nobody knows before it was read.
    whenDamaged();
    return undefined;
  }
  return (await packedOfWalk(work, walk))?.flatMap((row) => {
    const record = recordOf(row);
    return record ? [rowOf(record)] : [];
  });
}

/** The notes of a lot that lie in packs, as far as these can be read. */
export async function packedOfLot(work: Reading, lot: string): Promise<EntryRow[]> {
  return (await under(work, 'lots', lot, LOT)).rows;
}

export async function headsUnder(work: Reading, index: 'walks' | 'lots', of: string): Promise<PackHead[]> {
  if (!areReadTogether) return (await headsOf(work)).filter((head) => head[index].includes(of));
  return askForHeads(() => allUnder(work.objectStore('packs').index(index), of, ({ name }) => name));
}

async function under(
  work: Reading,
  index: 'walks' | 'lots',
  of: string,
  path: string,
): Promise<{ rows: EntryRow[]; isWhole: boolean }> {
  const heads = await headsUnder(work, index, of);
  let isWhole = true;
  const found = new Map<string, EntryRow>();
  for (const head of heads) {
    const pack = await openPack(work, head);
    if (!pack) {
      isWhole = false;
      continue;
    }
    const out = new Set(head.out);
    pack.cells(path).forEach((value, at) => {
      if (value === of && !out.has(at)) found.set(pack.id(at), rowAt(head, pack, at));
    });
  }
  return { rows: [...found.values()], isWhole };
}

/** The places of the notes of a pack that are in. */
export function placesIn({ ids, out }: PackHead): number[] {
  const isOut = new Set(out);
  return Array.from(ids, (_bits, at) => at).filter((at) => !isOut.has(at));
}

/** A note of a pack as a row. */
export function rowAt({ unconfirmed }: PackHead, pack: Pack, at: number): EntryRow {
  return unconfirmed ? doubt(pack.row(at)) : pack.row(at);
}

/** All notes of a pack that are in, as rows. */
export function rowsIn(head: PackHead, pack: Pack): EntryRow[] {
  return placesIn(head).map((at) => rowAt(head, pack, at));
}

/** What a head says of a pack. @param sums of the notes that are not out */
export function headOf(
  { body, out, unconfirmed }: Pick<PackHead, 'body' | 'out' | 'unconfirmed'>,
  pack: Pack,
  sums: Map<string, LotSum>,
): PackHead {
  const isOut = new Set(out);
  const all = Array.from({ length: pack.size }, (_, at) => at);
  const left = all.filter((at) => !isOut.has(at));
  const [walks, positions] = [pack.cells(WALK), pack.cells('position') as readonly number[]];
  const at = left.map((place) => positions[place] as number);
  return {
    name: body + randomId().slice(0, OF_HEAD),
    body,
    walks: [...new Set(left.map((place) => walks[place] as string))],
    lots: [...sums.keys()],
    sums,
    ids: Uint32Array.from(all, (place) => bitsOf(pack.id(place))),
    count: left.length,
    first: Math.min(...at),
    last: Math.max(...at),
    out,
    ...(unconfirmed && { unconfirmed }),
  };
}

/** Has another head take the place of one; with nothing left the pack is gone. @param sums of the notes that are not out */
export function replaceHead(
  work: Work,
  old: string,
  next: Pick<PackHead, 'body' | 'out' | 'unconfirmed'>,
  pack: Pack,
  sums: Map<string, LotSum>,
): void {
  unheard(work.objectStore('packs').delete(old));
  if (next.out.length === pack.size) unheard(work.objectStore('packed').delete(next.body));
  else unheard(work.objectStore('packs').add(headOf(next, pack, sums)));
}

function bitsOf(id: string): number {
  return Number.parseInt(id.slice(0, 8), 16);
}

/** Moves the sum of a lot by one note. */
export function countNote(sums: Map<string, LotSum>, lot: string, hash: bigint, count: 1 | -1): void {
  const before = sums.get(lot) ?? { count: 0, sum: sumHex(0n) };
  const change = count > 0 ? addSum : subSum;
  const next = { count: before.count + count, sum: sumHex(change(parseSum(before.sum), hash)) };
  if (next.count > 0) sums.set(lot, next);
  else sums.delete(lot);
}

/** Takes notes out of their packs; who calls it puts them elsewhere. @returns them as rows */
export async function take(work: Work, ids: Iterable<string>): Promise<EntryRow[]> {
  const byHead = new Map<PackHead, { pack: Pack; at: number[] }>();
  for (const { head, pack, at } of await find(work, ids)) {
    const found = byHead.get(head) ?? { pack, at: [] };
    found.at.push(at);
    byHead.set(head, found);
  }
  const rows = new Map<string, EntryRow>();
  for (const [head, { pack, at }] of byHead) for (const row of takeFrom(work, head, pack, at)) rows.set(row.id, row);
  return [...rows.values()];
}

/** Takes these notes of a lot out of their packs, whatever the heads say of their ids. @returns them as rows */
export async function takeOfLot(work: Work, lot: string, ids: ReadonlySet<string>): Promise<EntryRow[]> {
  const rows: EntryRow[] = [];
  for (const head of await headsUnder(work, 'lots', lot)) {
    const pack = await openPack(work, head);
    const places = pack ? placesIn(head).filter((at) => ids.has(pack.id(at))) : [];
    if (pack && places.length > 0) rows.push(...takeFrom(work, head, pack, places));
  }
  return rows;
}

/** Takes notes out of one pack, by their places. */
export function takeFrom(work: Work, head: PackHead, pack: Pack, places: readonly number[]): EntryRow[] {
  const rows = places.map((at) => rowAt(head, pack, at));
  const out = [...head.out, ...places].sort((a, b) => a - b);
  const sums = new Map(head.sums);
  if (out.length < pack.size) for (const row of rows) countNote(sums, row.entry.lot ?? '', hashOf(row), -1);
  replaceHead(work, head.name, { ...head, out }, pack, sums);
  return rows;
}
