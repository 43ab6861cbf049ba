/** Brings the journal up in the order in which screens need it: records first, the network last. */
import { signal } from '@preact/signals';
import { followArriving } from './inbox/arriving';
import { loadBriefs, startBriefs } from './records/briefs';
import { start as startCourier } from './worker/carrier';
import { watchUnfolded } from './recovery/damaged';
import { aside } from './outbox/emergency';
import { listen } from './inbox/live';
import { quiet, turn } from './store/pause';
import { startCounting } from './outbox/queue';
import { look } from './store/storage';
import { load, loadRest, ready } from './records/things';
import { me } from '../state';

/**
 * Why there is nothing to show. Older: the database has the shape of a newer build. Unreadable: the phone's storage failed, which
 * may pass.
 */
export const failed = signal<'older' | 'unreadable' | undefined>(undefined);

/** @param known settles when it is known whose phone this is */
export async function start(known: Promise<void>): Promise<void> {
  try {
    // Asked all at once and shown all at once: the first screen is drawn one time, whole.
    await Promise.all([known, load(), loadBriefs(), startCounting(), followArriving()]);
  } catch (error) {
    failed.value = error instanceof DOMException && error.name === 'VersionError' ? 'older' : 'unreadable';
    // Where only the screen's part cannot be read, what waits may still reach the server.
    startCourier();
    return;
  }
  // Reading the last rows and drawing them in one task would be the longest one of a start.
  await turn();
  ready.value = true;
  // What follows can wait until that screen is drawn and its first tap answered.
  await quiet();
  await saveWhatWasAside();
  void watchUnfolded().catch(() => undefined);
  try {
    await loadRest();
  } finally {
    // Notes go to the server, whatever else of the phone's records can no longer be read.
    startBriefs();
    startCourier();
    listen(me);
  }
  await look();
}

async function saveWhatWasAside(): Promise<void> {
  if (aside.value.length === 0) return;
  try {
    const { save } = await import('./outbox/write');
    await save(aside.value);
  } catch {
    // Still broken: the notes stay aside, and the screen goes on saying so.
  }
}
