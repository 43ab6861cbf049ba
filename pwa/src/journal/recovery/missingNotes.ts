/** What settleMissing does page by page: a script of its own, which only a server that was set back makes necessary. */
import type { Receipt } from '../../../../schema/types';
import { canonical } from '../../../../sync/journal/journal';
import { MAX_BYTES, MAX_ENTRIES } from '../outbox/push';
import type { Work } from '../store/base';
import { can, giveBack, missing, stateOf } from '../store/entryState';
import { headsOf } from '../store/packs/packs';
import { takeOutUnshown } from '../store/packs/takeOut';
import { pageUnder } from '../store/pages';
import { PAGE } from '../store/pageSize';
import { addFolded, type Refolded } from '../store/folding';
import { refold } from '../store/refold';
import type { EntryRow, Meta, PartialWalks, Writer } from '../store/shape';
import { dropPack } from './dropPack';
import { moveLost } from './renumber';
import { requeue } from './requeue';

/** How long others have to send again what they wrote, by the server's clock. */
const OTHERS_HAVE_MS = 10 * 60_000;

/** What shows that the server once gave the note its place. Of an earlier build there is none: then a supervisor decides. */
export function receiptOf({ stamp, receipt: [position, receipt] = [0, ''] }: EntryRow): Receipt {
  return { position, stamp, receipt };
}

async function unconfirmedOf(work: Work): Promise<Meta['unconfirmed'] | undefined> {
  return (await work.objectStore('meta').get('unconfirmed')) as Meta['unconfirmed'] | undefined;
}

async function writerOf(work: Work): Promise<Writer | undefined> {
  return (await work.objectStore('meta').get('writer')) as Writer | undefined;
}

export interface Page {
  folded: Refolded;
  /** True when own notes were queued again. */
  again: boolean;
  last: boolean;
  /** True when no walk is here in part any more. */
  isWhole?: boolean;
}

/** Looks through the next page of what is unconfirmed; once all was looked through only a new doubt begins it again. */
export async function look(work: Work): Promise<Page> {
  const [unconfirmed, writer] = [await unconfirmedOf(work), await writerOf(work)];
  const folded = await refold(work, []);
  if (!unconfirmed || !writer) return { folded, again: false, last: true };
  const { scan } = unconfirmed;
  addFolded(folded, await setAside(work, unconfirmed.returned));
  const entries = work.objectStore('entries');
  const rows = scan ? await pageUnder(entries.index('state'), 'unconfirmed', scan.after) : [];
  const own = rows.filter((row) => row.own && row.entry.device === writer.device);
  await requeue(work, own);
  const since = scan?.since ?? writer.floor;
  for (const row of rows) if (!row.own && !row.missing) await entries.put(missing(row, since));
  const keys = new Set(own.flatMap((row) => row.keys));
  const end = rows[PAGE - 1];
  if (scan && !end) {
    const moved = await moveLost(work, writer, (row) => stateOf(row) === 'unconfirmed');
    moved.forEach((key) => keys.add(key));
  }
  addFolded(folded, await refold(work, keys));
  const rest: Meta['unconfirmed'] = { returned: [], ...(end && { scan: { after: end.id, since } }) };
  const meta = work.objectStore('meta');
  await meta.put(rest, 'unconfirmed');
  // What is one's own can be sent by now. What packs have becomes rows, a pack at a time, and only then: a phone may have no room for it.
  const unshown = end ? undefined : (await headsOf(work)).find((head) => head.unconfirmed);
  if (!scan && unshown && !(await takeOutUnshown(work, unshown, (row) => missing(row, since))))
    await dropPack(work, unshown);
  const last = !end && !unshown;
  // The pull that shows all of the server's notes has just come to the head.
  const isWhole = last && ((await meta.get('partial')) as PartialWalks | undefined)?.isReread === true;
  if (isWhole) await meta.delete('partial');
  return { folded, again: keys.size > 0, last, isWhole };
}

/** What was given back and is still not shown is in quarantine: it is in no record until somebody has decided. */
async function setAside(work: Work, ids: readonly string[]): Promise<Refolded> {
  const keys: string[] = [];
  for (const id of ids) {
    const row = await work.objectStore('entries').get(id);
    if (!row || !can(row, 'giveBack')) continue;
    await work.objectStore('entries').put(giveBack(row));
    keys.push(...row.keys);
  }
  return refold(work, keys);
}

/** The first of others' notes that have been missing for long enough, as the server once had them in order: none before what it names. */
export async function dueNow(work: Work): Promise<EntryRow[]> {
  const index = work.objectStore('entries').index('missing');
  const writer = await writerOf(work);
  if ((await index.getKey(IDBKeyRange.lowerBound([]))) === undefined || !writer) {
    await work.objectStore('meta').delete('unconfirmed');
    return [];
  }
  return index.getAll(IDBKeyRange.upperBound([writer.floor - OTHERS_HAVE_MS, []]), MAX_ENTRIES);
}

/** As many, with their bytes, as fit into one request; the others go with the next. */
export function fitting(rows: readonly EntryRow[]): { row: EntryRow; text: string }[] {
  const given: { row: EntryRow; text: string }[] = [];
  let bytes = 0;
  for (const row of rows) {
    const text = canonical(row.entry);
    bytes += new TextEncoder().encode(text).length;
    if (given.length > 0 && bytes > MAX_BYTES) break;
    given.push({ row, text });
  }
  return given;
}

/** Remembers, until the next head, what the server took. It is no longer offered. */
export async function keepReturned(work: Work, ids: readonly string[]): Promise<void> {
  const entries = work.objectStore('entries');
  for (const id of ids) {
    const { missing: _given, ...row } = (await entries.get(id)) ?? { id: '' };
    if (row.id !== '') await entries.put(row as EntryRow);
  }
  const unconfirmed = await unconfirmedOf(work);
  if (unconfirmed)
    await work.objectStore('meta').put({ ...unconfirmed, returned: [...unconfirmed.returned, ...ids] }, 'unconfirmed');
}
