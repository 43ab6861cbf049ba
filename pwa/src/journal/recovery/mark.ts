/** Marks what is to be gone through page by page (reread.ts, rewind.ts), and where that stands. All else of it comes as scripts of their own. */
import type { Work } from '../store/base';
import type { Recovery, Requeue } from '../store/shape';

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

/** Marks own notes that are to be queued again. */
export async function askToRequeue(work: Work, task: Requeue): Promise<void> {
  const recovery = await recoveryOf(work);
  await keepRecovery(work, { ...recovery, requeue: [...(recovery.requeue ?? []), task] });
}
