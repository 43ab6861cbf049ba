/**
 * Puts notes into the outbox again as they were sent, and takes back what this phone believes of the server's journal. What the server
 * may have lost of others' notes is unconfirmed until a pull shows it again; missing.ts looks for what no pull has shown.
 */
import type { Entry } from '../../../../schema/types';
import { canonical } from '../../../../sync/journal/journal';
import { forgetGone } from '../letgo/gone';
import type { Work } from '../store/base';
import { can, doubt, isApart, isSent, requeue as requeued, stateOf } from '../store/entryState';
import { pageAfter } from '../store/pages';
import { headsOf } from '../store/packs/packs';
import { takeOutWhere } from '../store/packs/takeOut';
import { PAGE } from '../store/pageSize';
import { dropPack } from './dropPack';
import { keysOfEntry, type Refolded } from '../store/folding';
import { refold } from '../store/refold';
import type { Cursor, EntryRow, Meta, Recovery } from '../store/shape';

/**
 * Queues notes again as this phone wrote them: after a fork the server's copy may stand under an earlier number, and
 * bytes and chain are those of the later one.
 */
export async function requeue(work: Work, rows: readonly EntryRow[]): Promise<void> {
  for (const row of rows) {
    if (row.text === undefined || !can(row, 'requeue')) continue;
    const entry = asSent(row.text) ?? row.entry;
    await work.objectStore('entries').put(requeued({ ...row, entry, keys: keysOfEntry(entry) }));
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

/** What is still to be done of recoveries that go page by page. */
export async function recoveryOf(work: Work<'readonly'> | Work): Promise<Recovery> {
  const meta = work.objectStore('meta') as { get: (key: string) => Promise<unknown> };
  return ((await meta.get('recovery')) as Recovery | undefined) ?? {};
}

/** Writes down what is still to be done, in the transaction of the page that was done. */
export async function keepRecovery(work: Work, recovery: Recovery): Promise<void> {
  const { requeue: own, rewind, reread, unread } = recovery;
  const meta = work.objectStore('meta');
  if (rewind || reread || unread || (own && own.length > 0)) await meta.put(recovery, 'recovery');
  else await meta.delete('recovery');
}

/** Queues the next page of own notes that the server may have lost. */
export async function requeuePage(work: Work, recovery: Recovery): Promise<Refolded> {
  const [task, ...others] = recovery.requeue ?? [];
  if (!task) return refold(work, []);
  const { device, after, inc, apart } = task;
  const range = IDBKeyRange.bound([device, ...after], inc === undefined ? [device, []] : [device, inc, []], true);
  const rows = await work.objectStore('entries').index('own').getAll(range, PAGE);
  const lost = rows.filter((row) => isSent(row) && (!apart || stateOf(row) !== 'merged'));
  await requeue(work, lost);
  const last = rows.length === PAGE ? rows[PAGE - 1]?.own : undefined;
  const rest = last ? [{ ...task, after: [last[1], last[2]] }, ...others] : others;
  await keepRecovery(work, { ...recovery, requeue: rest });
  return refold(
    work,
    lost.flatMap((row) => row.keys),
  );
}

/**
 * The journal may be another than the one that was read: has it read again from its beginning, over what is here. Only marked in this
 * transaction; the sync worker does it before it asks the server for anything more.
 */
export async function askToReread(work: Work): Promise<void> {
  const recovery = await recoveryOf(work);
  // Begun again from the first note: what was merged behind the mark meanwhile is in doubt too.
  await keepRecovery(work, { ...recovery, reread: { after: '' } });
}

/** Doubts the next page of what the server has shown. With the last page the cursor goes back to the beginning. */
export async function rereadPage(work: Work, recovery: Recovery): Promise<Refolded> {
  // First all packs become rows, one at a time.
  const [head] = await headsOf(work);
  if (head) {
    if (!(await takeOutWhere(work, head, 'position', () => true))) await dropPack(work, head);
    return refold(work, []);
  }
  const entries = work.objectStore('entries');
  const rows = await pageAfter(entries, recovery.reread?.after ?? '');
  // What the server did not merge has no place; only another push shows whether it is still there.
  const apart = rows.filter((row) => isSent(row) && isApart(row));
  await requeue(work, apart);
  for (const row of rows) if (can(row, 'doubt')) await entries.put(doubt(row));
  const { reread: _done, ...rest } = recovery;
  const last = rows.length === PAGE ? rows[PAGE - 1] : undefined;
  if (last) await keepRecovery(work, { ...rest, reread: { after: last.id } });
  else {
    await keepRecovery(work, rest);
    await readFromTheBeginning(work);
  }
  return refold(
    work,
    apart.flatMap((row) => row.keys),
  );
}

async function readFromTheBeginning(work: Work): Promise<void> {
  const meta = work.objectStore('meta');
  const cursor = (await meta.get('cursor')) as Cursor | undefined;
  if (cursor) {
    const { proof: _proof, first, ...rest } = cursor;
    // What the first pull left out is not counted: until it comes, records are still arriving.
    await meta.put({ ...rest, position: 0, ...(first !== undefined && { whole: false }) }, 'cursor');
  }
  await forgetGone(work);
  await meta.put({}, 'sums');
  await askToFindMissing(work);
}

/** Has the next pull that reaches the head look for what it did not show. */
export async function askToFindMissing(work: Work): Promise<void> {
  const meta = work.objectStore('meta');
  const before = (await meta.get('unconfirmed')) as Meta['unconfirmed'] | undefined;
  await meta.put({ returned: [], ...before, scan: { after: '' } }, 'unconfirmed');
}
