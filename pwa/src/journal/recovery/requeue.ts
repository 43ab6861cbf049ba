/** Puts notes into the outbox again as they were sent, those of which a refusal of the server says that it has lost them too. */
import type { Entry } from '../../../../schema/types';
import { canonical } from '../../../../sync/journal/journal';
import type { Work } from '../store/base';
import { can, isSent, requeue as requeued } from '../store/entryState';
import { keysOfEntry } from '../store/folding';
import type { EntryRow, Meta } from '../store/shape';
import { askToRequeue } from './mark';

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
export function asSent(text: string): Entry | undefined {
  try {
    const entry = JSON.parse(text) as Entry;
    return canonical(entry) === text && typeof entry.id === 'string' ? entry : undefined;
  } catch {
    return undefined;
  }
}

/** Has the next pull that reaches the head look for what it did not show. */
export async function askToFindMissing(work: Work): Promise<void> {
  const meta = work.objectStore('meta');
  const before = (await meta.get('unconfirmed')) as Meta['unconfirmed'] | undefined;
  await meta.put({ returned: [], ...before, scan: { after: '' } }, 'unconfirmed');
}

/** A gap: the server has less of an incarnation than the phone remembers. @returns false where no note of here could close it */
export async function requeueFrom(work: Work, high: number): Promise<boolean> {
  const entries = work.objectStore('entries');
  const first = await entries.index('pending').get(IDBKeyRange.lowerBound([]));
  if (!first) return false;
  const { device, inc } = first.entry;
  await askToRequeue(work, { device, after: [inc, high], inc });
  return (await entries.index('own').getKey([device, inc, high + 1])) !== undefined;
}

/**
 * A revoked phone learns that the server was restored only by the epoch in its refusal. What is in quarantine is queued
 * again, and its newest note, since the answer to that push says the rest.
 */
export async function requeueNewest(work: Work, device: string): Promise<void> {
  const own = work.objectStore('entries').index('own');
  const newest = await own.openCursor(IDBKeyRange.bound([device], [device, []]), 'prev');
  if (newest && isSent(newest.value)) await requeue(work, [newest.value]);
  await askToRequeue(work, { device, after: [], apart: true });
}
