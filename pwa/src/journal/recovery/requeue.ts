/**
 * Puts notes back into the queue, and entries into doubt. Whatever the server may have lost has no place (position 0)
 * here until a pull shows it again; missing.ts looks for what no pull has shown.
 */
import type { Entry } from '../../../../schema/types';
import { canonical } from '../../../../sync/journal/journal';
import { within, type Work } from '../store/base';
import { publish } from '../store/changes';
import { keysOfEntry, pendingStamp } from '../store/refold';
import type { Cursor, EntryRow, Meta } from '../store/shape';

/** True for what the server had and has not shown since it may have lost it. */
export function isUnconfirmed(row: EntryRow): boolean {
  return row.position === 0 && isSent(row) && row.state === undefined && !row.handed;
}

/** True for what was at the server once: nothing that waits here to be sent. */
function isSent(row: EntryRow): boolean {
  return row.pending === undefined && !row.parked;
}

/**
 * Queues notes again as this phone wrote them: after a fork the server's copy may stand under an earlier number, and
 * bytes and chain are those of the later one.
 */
export async function requeue(work: Work, rows: readonly EntryRow[]): Promise<void> {
  for (const row of rows) {
    if (!row.own || row.text === undefined) continue;
    const { state: _state, faults: _faults, ...rest } = row;
    const entry = asSent(row.text) ?? row.entry;
    await work.objectStore('entries').put({
      ...rest,
      entry,
      keys: keysOfEntry(entry),
      position: 0,
      stamp: pendingStamp(entry),
      pending: [entry.inc, entry.seq],
    });
  }
}

/** Undefined for bytes that a faulty build spoiled: what their writer meant then stays as it is. They are sent as they are, and held. */
function asSent(text: string): Entry | undefined {
  try {
    const entry = JSON.parse(text) as Entry;
    return canonical(entry) === text && typeof entry.id === 'string' ? entry : undefined;
  } catch {
    return undefined;
  }
}

/** Own notes that were sent, from a number on: those of later incarnations too. */
async function sentAfter(work: Work, device: string, inc: number, high: number): Promise<EntryRow[]> {
  const reach = IDBKeyRange.bound([device, inc, high + 1], [device, []]);
  return (await work.objectStore('entries').index('own').getAll(reach)).filter(isSent);
}

/**
 * The server has less of this phone than it has acknowledged: what comes after goes back into the queue.
 * @returns how many notes
 */
export async function requeueAfter(device: string, inc: number, high: number): Promise<number> {
  const rows = await within('readwrite', ['entries'], async (work) => {
    const lost = await sentAfter(work, device, inc, high);
    await requeue(work, lost);
    return lost;
  });
  if (rows.length > 0) publish({ queue: true });
  return rows.length;
}

/**
 * A revoked phone learns that the server was restored only by the epoch in its refusal. What was kept aside is queued
 * again, and its newest note, since the answer to that push tells the rest.
 */
export async function requeueNewest(device: string): Promise<void> {
  await within('readwrite', ['entries'], async (work) => {
    const entries = work.objectStore('entries');
    const newest = await entries.index('own').openCursor(IDBKeyRange.bound([device], [device, []]), 'prev');
    const aside = (await entries.index('state').getAll()).filter((row) => row.own?.[0] === device);
    await requeue(work, newest && isSent(newest.value) ? [...aside, newest.value] : aside);
  });
  publish({ queue: true });
}

/** The journal may be another than the one that was read: it is read again from its beginning, over what is here. */
export async function rereadJournal(): Promise<void> {
  await within('readwrite', ['entries', 'meta'], unconfirmAll);
}

export async function unconfirmAll(work: Work): Promise<void> {
  const entries = work.objectStore('entries');
  const sent = (await entries.getAll()).filter(isSent);
  // What was kept aside has no place; only another push tells whether it is still there.
  await requeue(
    work,
    sent.filter((row) => row.state !== undefined),
  );
  for (const row of sent) if (row.state === undefined && row.position > 0) await entries.put({ ...row, position: 0 });
  const meta = work.objectStore('meta');
  const cursor = (await meta.get('cursor')) as Cursor | undefined;
  if (cursor) {
    const { proof: _proof, ...rest } = cursor;
    await meta.put({ ...rest, position: 0 }, 'cursor');
  }
  await meta.put({}, 'sums');
  await askToFindMissing(work);
}

/** Has the next pull that reaches the head look for what it did not show. */
export async function askToFindMissing(work: Work): Promise<void> {
  const meta = work.objectStore('meta');
  const before = (await meta.get('unconfirmed')) as Meta['unconfirmed'] | undefined;
  await meta.put(
    { missing: {}, handed: [], ...before, findMissing: true } satisfies Meta['unconfirmed'],
    'unconfirmed',
  );
}
