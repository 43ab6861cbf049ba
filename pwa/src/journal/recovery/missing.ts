/**
 * What a server that was set back has lost. One's own notes go to it again; others' are waited for, since their phones
 * send them again by themselves, and given back in their writers' names when nobody has: the phone that wrote them may
 * be gone.
 */
import type { Receipt } from '../../../../schema/types';
import { canonical } from '../../../../sync/journal/journal';
import { isUnconfirmed, requeue } from './requeue';
import { within, type Work } from '../store/base';
import { publish } from '../store/changes';
import { moveAll } from './recover';
import { MAX_BYTES, MAX_ENTRIES } from '../outbox/push';
import { refold, type Refolded } from '../store/refold';
import type { Cursor, EntryRow, Meta, Writer } from '../store/shape';
import { handBack } from '../wire';

/** How long others have to send again what they wrote, by the server's clock. */
const OTHERS_HAVE_MS = 10 * 60_000;

interface Found {
  /** True when own notes were queued again, or when there is more to read. */
  again: boolean;
  /** Others' notes that have been missing for long enough. */
  due: EntryRow[];
  folded: Refolded;
}

/**
 * Looks, at the head, for what no pull has shown, and does about it what can be done now.
 * @returns true when there is more to send or to pull
 * @throws Refusal
 */
export async function settleMissing(cursor: Cursor): Promise<boolean> {
  const found = await within('readwrite', ['entries', 'records', 'meta'], (work) => findMissing(work, cursor));
  if (!found) return false;
  publish({ ...found.folded, queue: found.again });
  const given = fitting(found.due);
  if (given.length === 0) return found.again;
  const refused = await handBack(
    cursor.epoch,
    given.map(({ text }) => text),
    given.map(({ row }) => receiptOf(row)),
  );
  const kept = given.map(({ row }) => row.id).filter((id) => !refused.includes(id));
  await within('readwrite', ['meta'], (work) => keepHanded(work, kept));
  // What the server has no room for is offered again another time.
  return kept.length > 0 || found.again;
}

/** What shows that the server once gave the note its place. Of an earlier build there is none: then a supervisor decides. */
function receiptOf({ stamp, receipt: [position, receipt] = [0, ''] }: EntryRow): Receipt {
  return { position, stamp, receipt };
}

async function findMissing(work: Work, at: Cursor): Promise<Found | undefined> {
  const meta = work.objectStore('meta');
  const entries = work.objectStore('entries');
  const unconfirmed = (await meta.get('unconfirmed')) as Meta['unconfirmed'] | undefined;
  const writer = (await meta.get('writer')) as Writer | undefined;
  if (!unconfirmed || !writer) return undefined;
  const cursor = (await meta.get('cursor')) as Cursor | undefined;
  // Put into doubt since that page came: first it is to be read to the head.
  if (cursor?.epoch !== at.epoch || cursor.position !== at.position)
    return { again: true, due: [], folded: { rows: [], gone: [], damaged: [] } };
  const rows = unconfirmed.findMissing
    ? await entries.getAll()
    : await Promise.all(Object.keys(unconfirmed.missing).map((id) => entries.get(id)));
  const gone = rows.filter((row) => row !== undefined).filter(isUnconfirmed);
  const own = gone.filter((row) => row.own);
  await requeue(
    work,
    own.filter((row) => row.entry.device === writer.device),
  );
  await moveAll(
    work,
    writer,
    own.filter((row) => row.entry.device !== writer.device),
  );
  // What was given back and is still not shown the server keeps aside: it is in no record until somebody has decided.
  const kept = gone.filter((row) => unconfirmed.handed.includes(row.id));
  for (const row of kept) await entries.put({ ...row, handed: 1 });
  const others = gone.filter((row) => !row.own && !unconfirmed.handed.includes(row.id));
  const missing = Object.fromEntries(others.map(({ id }) => [id, unconfirmed.missing[id] ?? writer.floor]));
  if (others.length > 0) await meta.put({ findMissing: false, missing, handed: [] }, 'unconfirmed');
  else await meta.delete('unconfirmed');
  return {
    again: own.length > 0,
    due: others.filter(({ id }) => writer.floor - (missing[id] ?? writer.floor) >= OTHERS_HAVE_MS),
    folded: await refold(
      work,
      [...own, ...kept].flatMap((row) => row.keys),
    ),
  };
}

/** As many, with their bytes, as fit into one request; the others go with the next. */
function fitting(rows: readonly EntryRow[]): { row: EntryRow; text: string }[] {
  const given: { row: EntryRow; text: string }[] = [];
  let bytes = 0;
  for (const row of rows.toSorted((a, b) => a.entry.inc - b.entry.inc || a.entry.seq - b.entry.seq)) {
    const text = canonical(row.entry);
    bytes += new TextEncoder().encode(text).length;
    if (given.length === MAX_ENTRIES || (given.length > 0 && bytes > MAX_BYTES)) break;
    given.push({ row, text });
  }
  return given;
}

async function keepHanded(work: Work, ids: readonly string[]): Promise<void> {
  const meta = work.objectStore('meta');
  const unconfirmed = (await meta.get('unconfirmed')) as Meta['unconfirmed'] | undefined;
  if (unconfirmed) await meta.put({ ...unconfirmed, handed: [...unconfirmed.handed, ...ids] }, 'unconfirmed');
}
