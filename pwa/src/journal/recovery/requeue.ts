/**
 * Puts notes into the outbox again as they were sent, and marks what is to be gone through page by page (reread.ts, rewind.ts).
 */
import type { Entry } from '../../../../schema/types';
import { canonical } from '../../../../sync/journal/journal';
import type { Work } from '../store/base';
import { can, requeue as requeued } from '../store/entryState';
import { keysOfEntry } from '../store/folding';
import type { EntryRow, Meta, Recovery } from '../store/shape';

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

/**
 * The journal may be another than the one that was read: has it read again from its beginning, over what is here. Only marked in this
 * transaction; the sync worker does it before it asks the server for anything more.
 */
export async function askToReread(work: Work): Promise<void> {
  const recovery = await recoveryOf(work);
  // Begun again from the first note: what was merged behind the mark meanwhile is in doubt too.
  await keepRecovery(work, { ...recovery, reread: { after: '' } });
}

/** Has the next pull that reaches the head look for what it did not show. */
export async function askToFindMissing(work: Work): Promise<void> {
  const meta = work.objectStore('meta');
  const before = (await meta.get('unconfirmed')) as Meta['unconfirmed'] | undefined;
  await meta.put({ returned: [], ...before, scan: { after: '' } }, 'unconfirmed');
}
