/**
 * Lets the notes of closed lots go, a few hundred in a transaction. A note may go when the server has told this phone that both hold the
 * same past it, a backup has it, and its lot has been quiet for thirty days by the server's clock: so it is elsewhere twice, and what the
 * newest thirty days of backups may lack is still on every phone. Records go with all their notes, never in part.
 */
import { addSum, parseSum, sumHex } from '../../../../sync/journal/journal';
import { addTo } from '../inbox/pull';
import { within, unheard, type Reading, type Work } from '../store/base';
import { publish } from '../store/changes';
import { stateOf } from '../store/entryState';
import {
  decodeRow,
  type Cursor,
  type EntryRow,
  type Gone,
  type LotSum,
  type LotSummary,
  type Meta,
  type Store,
  type Writer,
} from '../store/shape';
import { allUnder } from '../store/pages';
import { entriesOf } from '../store/refold';
import { pendingPhotos } from '../outbox/photos';
import { closedLots } from './closed';
import { mapOf, nothingGone } from './gone';
import { summariesOf } from './summaries';

/** How long a lot has been quiet, by the server's clock. */
const QUIET_MS = 30 * 24 * 60 * 60_000;
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
    return { ...at, closed: await closedLots(work) };
  });
  if (!look) return;
  nextLook = look.now + EVERY_MS;
  if (!(await isAnyReady(look))) return;
  // The server says what is shown of them from now on, and that it can give them back: an older one has no such page.
  const summaries = await summariesOf(look.closed);
  // The server counts the month from when a note arrived, which may be long after what it says of itself.
  const agreed = { ...look, closed: new Set(summaries.keys()) };
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

/** What closed lots were looked for in, and which there are. */
interface Look extends Standing {
  closed: ReadonlySet<string>;
}

interface Standing {
  /** Server time, ms since 1970. */
  now: number;
  /** Names what is on the phone: how far it has read, and what it has written. */
  state: string;
}

async function standing(work: Reading): Promise<Standing | undefined> {
  const meta = work.objectStore('meta');
  const [cursor, writer] = (await Promise.all([meta.get('cursor'), meta.get('writer')])) as [
    Cursor | undefined,
    Writer | undefined,
  ];
  if (!cursor || !writer) return undefined;
  return { now: writer.floor, state: [cursor.epoch, cursor.position, writer.inc, writer.seq].join(' ') };
}

/** True where something of a closed lot may go. Each lot is asked by itself, so that no tap waits behind all of them. */
async function isAnyReady({ closed }: Look): Promise<boolean> {
  for (const lot of closed) {
    const going = await within('readonly', of, async (work) => {
      const reach = await reachOf(work);
      return reach ? leaving(work, lot, reach, closed) : new Map<string, EntryRow[]>();
    });
    if (going.size > 0) return true;
  }
  return false;
}

/** One transaction. @returns true when there may be more of this lot */
async function letSomeGo(lot: string, summary: LotSummary, { closed, state }: Look): Promise<boolean> {
  const keys = await within('readwrite', of, async (work) => {
    const reach = await reachOf(work);
    // With another note what was closed when the look began may be alive.
    if (!reach || (await standing(work))?.state !== state) return [];
    const going = await leaving(work, lot, reach, closed);
    if (going.size > 0) await drop(work, lot, going, summary);
    return [...going.keys()];
  });
  if (keys.length > 0) publish({ gone: keys, queue: true });
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

/** Notes of a lot by the key of their record, with as many whole records as go at once. */
async function leaving(
  work: Reading,
  lot: string,
  reach: { upTo: number; now: number },
  closed: ReadonlySet<string>,
): Promise<Map<string, EntryRow[]>> {
  const kept = await mapOf(work, 'kept');
  const isFree = memo((id: string) => mayGo(work, id, reach, kept));
  const going = new Map<string, EntryRow[]>();
  const rows = await isFree(lot);
  if (!rows) return going;
  const drafted = new Set((await work.objectStore('drafts').getAll()).map(({ walk }) => walk));
  const walks = new Map<string, boolean>();
  let count = 0;
  for (const [key, group] of await wholeRecords(work, lot, rows)) {
    if (count >= AT_ONCE) break;
    const walk = (await work.objectStore('records').get(key))?.walk;
    if (walk !== undefined) {
      if (!walks.has(walk)) walks.set(walk, !drafted.has(walk) && (await isFreeWalk(work, walk, closed, isFree)));
      if (!walks.get(walk)) continue;
    }
    going.set(key, group);
    count += group.length;
  }
  return going;
}

/** The lot's notes where every one of them may go; undefined otherwise. */
async function mayGo(
  work: Reading,
  lot: string,
  { upTo, now }: { upTo: number; now: number },
  kept: ReadonlyMap<string, number>,
): Promise<EntryRow[] | undefined> {
  if ((kept.get(lot) ?? 0) > now) return undefined;
  const rows = await allUnder(work.objectStore('entries').index('lot'), lot, (row) => row.id);
  const may = rows.every(
    (row) => stateOf(row) === 'merged' && row.position > 0 && row.position <= upTo && row.stamp.to + QUIET_MS <= now,
  );
  return may ? rows : undefined;
}

/**
 * The records that are made of this lot's notes alone, with their notes. A note that has a part in several goes with all of them or
 * not at all; one that came late for a record that has gone stays.
 */
async function wholeRecords(work: Reading, lot: string, rows: readonly EntryRow[]): Promise<Map<string, EntryRow[]>> {
  const index = work.objectStore('entries').index('keys');
  const isOurs = ({ entry, keys }: EntryRow) => entry.lot === lot && keys.length === 1;
  const keys = [...new Set(rows.filter(isOurs).flatMap((row) => row.keys))].filter((key) => /^(pot|fact):/.test(key));
  const groups = await Promise.all(keys.map(async (key) => [key, await entriesOf(index, key)] as const));
  return new Map(
    groups.filter(([key, group]) => group.every(isOurs) && group.some(({ id }) => key.endsWith(`:${id}`))),
  );
}

/** True where all that was noted on a walk is of lots that may go: a walk of which half is missing would be scored as a poor one. */
async function isFreeWalk(
  work: Reading,
  walk: string,
  closed: ReadonlySet<string>,
  isFree: (lot: string) => Promise<unknown>,
): Promise<boolean> {
  const rows = await allUnder(work.objectStore('records').index('walk'), walk, (row) => row.key);
  for (const row of rows) {
    const record = decodeRow(row)?.record;
    const lot = record?.lot;
    // A skip names a row of the bed and may have no lot.
    if (record && lot === undefined && row.kind === 'skip') continue;
    if (!record || lot === undefined || !closed.has(lot) || !(await isFree(lot))) return false;
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
