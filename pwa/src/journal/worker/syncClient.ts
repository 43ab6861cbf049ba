/**
 * The page's end of the sync worker: wakes it after each save, when the network or the screen comes back, on a nudge and
 * at the start, and holds what it says of itself for the screens.
 */
import { signal } from '@preact/signals-core';
import type { SyncStatus } from './sync';
import { initialStatus, onWake, type Reason } from './wake';

export const syncStatus = signal(initialStatus);

let worker: Worker | undefined;

/** Starts the sync worker, with nothing to send or fetch yet. @returns when it runs, or cannot */
export function startWorker(): Promise<void> {
  const fresh = new Worker(new URL('./sync.worker.ts', import.meta.url), { type: 'module', name: 'sync' });
  worker = fresh;
  fresh.addEventListener('message', (event: MessageEvent<SyncStatus>) => (syncStatus.value = event.data));
  return new Promise((done) => {
    for (const event of ['message', 'error']) fresh.addEventListener(event, () => done(), { once: true });
  });
}

/** Starts carrying. Called once, when the app has started. */
export function startSync(): void {
  onWake(requestSync);
  addEventListener('online', () => requestSync('online'));
  addEventListener('pageshow', () => requestSync('seen'));
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') requestSync('seen');
  });
  requestSync('start');
}

export function requestSync(reason: Reason): void {
  worker?.postMessage(reason);
}
