/**
 * Lets notes go, a few hundred in a transaction: those of closed lots, and on a phone with houses of its own those of lots that have stood in
 * none of them for a month. A note may go when the server has told this phone that both hold the same past it, a backup has it, and it arrived thirty days
 * ago by the server's clock (of a closed lot, when nothing has touched the lot for so long): so it is elsewhere twice, and what the newest
 * thirty days of backups may lack is still on every phone. Records go with all their notes, never in part.
 */
import type { Observation } from '../../../../schema/types';
import { recordHash } from '../../../../sync/fold/fold';
import { addSum, parseSum, sumHex } from '../../../../sync/journal/journal';
import { addTo } from '../inbox/pull';
import { within, unheard, type Reading, type Work } from '../store/base';
import { publish } from '../store/changes';
import { stateOf } from '../store/entryState';
import {
  decodeRow,
  housesIn,
  type Cursor,
  type EntryRow,
  type Gone,
  type LotSum,
  type LotSummary,
  type Meta,
  type Store,
  type Writer,
} from '../store/shape';
import { recordOf } from '../store/made';
import { packedOfLot, packedOfWalk, takeOfLot } from '../store/packs/packs';
import { allUnder } from '../store/pages';
import { entriesOf, stateOfPhone } from '../store/folding';
import { pendingPhotos } from '../outbox/photos';
import { carriedOf } from './carried';
import { unwantedLots, type Unwanted } from './closed';
import { mapOf, nothingGone } from './gone';
import { QUIET_MS } from './shipped';
import { summariesOf } from './summaries';

/** About how many notes go in one transaction, for which a tap may have to wait. */
const AT_ONCE = 300;
/** How many transactions in one round of syncing: notes that are to be sent wait for its end. */
const MOST = 30;
/** How often closed lots are looked for, by the server's clock: it reads a few thousand records. */
const EVERY_MS = 60 * 60_000;

const of: Store[] = ['entries', 'records', 'meta', 'drafts'];

let nextLook = 0;

/**
 * Lets go what may go; called when the server has just said that all is equal. A device that is not a scout's keeps everything: what
 * a desk holds is a second whole copy.
 * @throws Refusal
 */
export async function letGo(): Promise<void> {
  if ((await pendingPhotos()) > 0) return;
  const look = await within('readonly', ['meta', 'records'], async (work) => {
    const me = (await work.objectStore('meta').get('me')) as Meta['me'] | undefined;
    const at = await standing(work);
    if (me?.role !== 'scout' || !at || at.now < nextLook) return undefined;
    return { ...at, ...(await unwantedLots(work)), houses: housesIn(await carriedOf(work)) };
  });
  if (!look) return;
  nextLook = look.now + EVERY_MS;
  // What the server will say of the notes' age is not known yet: their own stamps are never later.
  if (!(await isAnyReady({ ...look, oldUpTo: Number.MAX_SAFE_INTEGER }))) return;
  // The server says what is shown of them from now on, and that it can give them back: an older one has no such page.
  const { summaries, oldUpTo } = await summariesOf((lot) => look.closed.has(lot) || look.away.has(lot), look.houses);
  // The server counts the month from when a note arrived, which may be long after what it says of itself.
  const both = (lots: ReadonlySet<string>) => new Set([...lots].filter((lot) => summaries.has(lot)));
  const agreed: Look = {
    ...look,
    closed: both(look.closed),
    // An older server knows of no houses, and says nothing of when notes arrived.
    away: oldUpTo === undefined ? new Set() : both(look.away),
    oldUpTo: oldUpTo ?? Number.MAX_SAFE_INTEGER,
  };
  let left = MOST;
  for (const [lot, summary] of summaries) {
    while (await letSomeGo(lot, summary, agreed)) {
      left--;
      if (left > 0) continue;
      nextLook = look.now;
      return;
    }
  }
}

/** What lots were looked for in, and which there are. */
interface Look extends Standing, Unwanted {
  /** What arrived up to this position did so thirty days ago, by the server's word. */
  oldUpTo: number;
}

interface Standing {
  /** Server time, ms since 1970. */
  now: number;
  /** Names what is on the phone, and of which houses. */
  state: string;
}

async function standing(work: Reading): Promise<Standing | undefined> {
  const here = await stateOfPhone(work);
  return here && { now: here.now, state: `${here.state} ${JSON.stringify(await carriedOf(work))}` };
}

/** True where something of a lot may go. Each lot is asked by itself, so that no tap waits behind all of them. */
async function isAnyReady(look: Look): Promise<boolean> {
  for (const lot of new Set([...look.closed, ...look.away])) {
    const going = await within('readonly', of, async (work) => {
      const reach = await reachOf(work);
      return reach ? leaving(work, lot, reach, look) : new Map<string, EntryRow[]>();
    });
    if (going.size > 0) return true;
  }
  return false;
}

/** One transaction. @returns true when there may be more of this lot */
async function letSomeGo(lot: string, summary: LotSummary, look: Look): Promise<boolean> {
  const keys = await within('readwrite', of, async (work) => {
    const reach = await reachOf(work);
    // With another note, or another house, what was unwanted when the look began may be wanted.
    if (!reach || (await standing(work))?.state !== look.state) return [];
    const going = await leaving(work, lot, reach, look);
    if (going.size > 0) await drop(work, lot, going, summary);
    return [...going.keys()];
  });
  if (keys.length > 0) publish({ gone: keys, queue: true, away: true });
  return keys.length > 0;
}

/** Up to where notes may go, and the server's time. Undefined while anything of this phone is in doubt. */
async function reachOf(work: Reading): Promise<{ upTo: number; now: number } | undefined> {
  const meta = work.objectStore('meta');
  const [digest, cursor, writer, ...inDoubt] = (await Promise.all(
    ['digest', 'cursor', 'writer', 'unconfirmed', 'recovery'].map((key) => meta.get(key)),
  )) as [Meta['digest'] | undefined, Cursor | undefined, Writer | undefined, ...unknown[]];
  if (
    !digest?.equal ||
    !cursor ||
    !writer ||
    inDoubt.some((each) => each !== undefined) ||
    digest.position > cursor.position
  )
    return undefined;
  return { upTo: Math.min(digest.position, cursor.backedUpTo), now: writer.floor };
}

/** Up to where notes may go, and the server's time, ms since 1970. */
type Reach = NonNullable<Awaited<ReturnType<typeof reachOf>>>;

/** Notes of a lot by the key of their record, with as many whole records as go at once. */
async function leaving(work: Reading, lot: string, reach: Reach, look: Look): Promise<Map<string, EntryRow[]>> {
  const going = new Map<string, EntryRow[]>();
  const kept = await mapOf(work, 'kept');
  const isFree = freeing(work, reach, look, kept);
  if (!(await isFree.lot(lot))) return going;
  // Their names alone: a walk has at most one draft, and only own walks have any.
  const drafted = new Set(await work.objectStore('drafts').getAllKeys());
  const walks = new Map<string, boolean>();
  let count = 0;
  // Of a living lot most notes are newer, and their records need not be read.
  const { rows, packed } = await rowsOf(work, lot);
  for (const [key, group] of await wholeRecords(work, lot, rows.filter(isFree.note), packed)) {
    if (count >= AT_ONCE) break;
    if (!group.every(isFree.note)) continue;
    const [first] = group;
    const isPacked = first !== undefined && packed.has(first.id);
    const walk = isPacked ? walkOf(first) : (await work.objectStore('records').get(key))?.walk;
    if (walk !== undefined) {
      if (!walks.has(walk)) walks.set(walk, !drafted.has(walk) && (await isFreeWalk(work, walk, isFree)));
      if (!walks.get(walk)) continue;
    }
    going.set(key, group);
    count += group.length;
  }
  return going;
}

interface Freeing {
  /** A closed lot goes once all its notes may go; one that is away, as far as its notes may. */
  lot: (lot: string) => Promise<boolean>;
  note: (row: EntryRow) => boolean;
}

function freeing(work: Reading, { upTo, now }: Reach, look: Look, kept: ReadonlyMap<string, number>): Freeing {
  const note = (row: EntryRow) =>
    stateOf(row) === 'merged' &&
    row.position > 0 &&
    row.position <= Math.min(upTo, look.oldUpTo) &&
    row.stamp.to + QUIET_MS <= now;
  const lot = memo(async (id: string) => {
    if ((kept.get(id) ?? 0) > now) return false;
    return look.away.has(id) || (look.closed.has(id) && (await rowsOf(work, id)).rows.every(note));
  });
  return { lot, note };
}

/** A lot's notes, and the ids of those that lie in packs. */
async function rowsOf(work: Reading, lot: string): Promise<{ rows: EntryRow[]; packed: ReadonlySet<string> }> {
  const inRows = await allUnder(work.objectStore('entries').index('lot'), lot, (row) => row.id);
  const ids = new Set(inRows.map(({ id }) => id));
  const packed = (await packedOfLot(work, lot)).filter(({ id }) => !ids.has(id));
  return { rows: [...inRows, ...packed], packed: new Set(packed.map(({ id }) => id)) };
}

function walkOf({ entry }: EntryRow): string {
  return (entry.body as Observation).walk;
}

/**
 * The records that are made of this lot's notes alone, with their notes. A note that has a part in several goes with all of them or
 * not at all; one that came late for a record that has gone stays.
 */
async function wholeRecords(
  work: Reading,
  lot: string,
  rows: readonly EntryRow[],
  packed: ReadonlySet<string>,
): Promise<Map<string, EntryRow[]>> {
  const index = work.objectStore('entries').index('keys');
  const isOurs = ({ entry, keys }: EntryRow) => entry.lot === lot && keys.length === 1;
  const inRows = rows.filter((row) => !packed.has(row.id) && isOurs(row));
  const keys = [...new Set(inRows.flatMap((row) => row.keys))].filter((key) => /^(pot|fact):/.test(key));
  const groups = await Promise.all(keys.map(async (key) => [key, await entriesOf(index, key)] as const));
  const alone = rows.filter(({ id }) => packed.has(id));
  return new Map([
    // What is packed is the only note of its record.
    ...alone.flatMap((row) => row.keys.map((key): [string, EntryRow[]] => [key, [row]])),
    ...groups.filter(([key, group]) => group.every(isOurs) && group.some(({ id }) => key.endsWith(`:${id}`))),
  ]);
}

/** True where all that was noted on a walk may go: a walk of which half is missing would be scored as a poor one. */
async function isFreeWalk(work: Reading, walk: string, isFree: Freeing): Promise<boolean> {
  const rows = await allUnder(work.objectStore('records').index('walk'), walk, (row) => row.key);
  const index = work.objectStore('entries').index('keys');
  for (const row of rows) {
    const record = decodeRow(row)?.record;
    const lot = record?.lot;
    // A skip names a row of the bed and may have no lot.
    if (record && lot === undefined && row.kind === 'skip') continue;
    if (!record || lot === undefined || !(await isFree.lot(lot))) return false;
    if (!(await entriesOf(index, row.key)).every(isFree.note)) return false;
  }
  const packed = await packedOfWalk(work, walk);
  if (!packed) return false;
  for (const note of packed) {
    if (!isFree.note(note) || !(await isFree.lot(note.entry.lot ?? ''))) return false;
  }
  return true;
}

async function drop(
  work: Work,
  lot: string,
  going: ReadonlyMap<string, readonly EntryRow[]>,
  summary: LotSummary,
): Promise<void> {
  const [entries, records, meta] = [work.objectStore('entries'), work.objectStore('records'), work.objectStore('meta')];
  const gone = await mapOf(work, 'gone');
  const before: Gone = gone.get(lot) ?? nothingGone;
  const sums: Record<string, LotSum> = { [lot]: { count: before.count, sum: before.sum } };
  let made = parseSum(before.records);
  let last = before.last;
  const ids = new Set([...going.values()].flat().map(({ id }) => id));
  // As they were found: what is counted as gone and still lies in a pack would be counted again.
  for (const row of await takeOfLot(work, lot, ids)) {
    // Of what lies twice the row counts.
    const record = (await records.getKey(`pot:${row.id}`)) === undefined && recordOf(row);
    if (record) made = addSum(made, recordHash(record));
  }
  for (const [key, rows] of going) {
    const row = await records.get(key);
    if (row?.hash) made = addSum(made, parseSum(row.hash));
    unheard(records.delete(key));
    for (const each of rows) {
      addTo(sums, each);
      last = Math.max(last, each.position);
      unheard(entries.delete(each.id));
    }
  }
  gone.set(lot, { ...(sums[lot] ?? before), records: sumHex(made), last });
  unheard(meta.put(gone, 'gone'));
  unheard(meta.put(summary, `summary:${lot}`));
}

function memo<T>(ask: (of: string) => Promise<T>): (of: string) => Promise<T> {
  const known = new Map<string, Promise<T>>();
  return (of) => {
    const found = known.get(of) ?? ask(of);
    known.set(of, found);
    return found;
  };
}
