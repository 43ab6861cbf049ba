/** Brings the journal up in the order in which screens need it: records first, the network last. */
import { signal, type ReadonlySignal } from '@preact/signals-core';
import { followArriving } from './inbox/arriving';
import { followCarried } from './records/carried';
import { loadBriefs, startBriefs } from './records/briefs';
import { startSync } from './worker/syncClient';
import { watchUnfolded } from './recovery/damaged';
import { stash } from './outbox/stash';
import { listen } from './inbox/live';
import { whenIdle, nextTask } from './store/pause';
import { startCounting } from './outbox/outbox';
import { refreshEstimate } from './store/storage';
import { load, loadRest, ready } from './records/registers';

/**
 * Why there is nothing to show. Older: the database has the shape of a newer build. Unreadable: the phone's storage failed, which
 * may pass.
 */
export const failed = signal<'older' | 'unreadable' | undefined>(undefined);

/**
 * @param known settles when it is known whose phone this is
 * @param me who that is; undefined while the phone is not paired
 */
export async function start(known: Promise<void>, me: ReadonlySignal<unknown>): Promise<void> {
  try {
    // Asked all at once and shown all at once: the first screen is drawn one time, whole.
    await Promise.all([known, load(), loadBriefs(), startCounting(), followArriving(), followCarried()]);
  } catch (error) {
    failed.value = error instanceof DOMException && error.name === 'VersionError' ? 'older' : 'unreadable';
    // Where only the screen's part cannot be read, the outbox may still reach the server.
    startSync();
    return;
  }
  // Reading the last rows and drawing them in one task would be the longest one of a start.
  await nextTask();
  ready.value = true;
  // What follows can wait until that screen is drawn and its first tap answered.
  await whenIdle();
  await saveStash();
  void watchUnfolded().catch(() => undefined);
  try {
    await loadRest();
  } finally {
    // Notes go to the server, whatever else of the phone's records can no longer be read.
    startBriefs();
    startSync();
    listen(me);
  }
  await refreshEstimate();
}

async function saveStash(): Promise<void> {
  if (stash.value.length === 0) return;
  try {
    const { save } = await import('./outbox/write');
    await save(stash.value);
  } catch {
    // Still broken: the notes stay in the stash, and the screen goes on saying so.
  }
}
