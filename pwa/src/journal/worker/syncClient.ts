/**
 * The page's end of the sync worker: wakes it after each save, when the network or the screen comes back, on a nudge and
 * at the start, and holds what it says of itself for the screens.
 */
import { signal } from '@preact/signals-core';
import type { SyncStatus } from './sync';
import { initialStatus, onWake, type Reason } from './wake';

export const syncStatus = signal(initialStatus);

/** How long a worker may take to say its first word. One of which a browser lost the script never does, and no event tells. */
const PATIENCE_MS = 10_000;

let worker: Worker | undefined;
let carries = false;

/** Starts the sync worker, with nothing to send or fetch yet, and again while none runs. @returns when one runs, or cannot */
export function startWorker(): Promise<void> {
  return new Promise((done) => begin(PATIENCE_MS, done));
}

function begin(patience: number, done: () => void): void {
  const fresh = new Worker(new URL('./sync.worker.ts', import.meta.url), { type: 'module', name: 'sync' });
  worker = fresh;
  if (carries) requestSync('start');
  const again = setTimeout(() => {
    fresh.terminate();
    begin(2 * patience, done);
  }, patience);
  fresh.addEventListener('message', (event: MessageEvent<SyncStatus>) => {
    clearTimeout(again);
    syncStatus.value = event.data;
    done();
  });
  fresh.addEventListener('error', done, { once: true });
}

/** Starts carrying. Called once, when the app has started. */
export function startSync(): void {
  onWake(requestSync);
  addEventListener('online', () => requestSync('online'));
  addEventListener('pageshow', () => requestSync('seen'));
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') requestSync('seen');
  });
  carries = true;
  requestSync('start');
}

export function requestSync(reason: Reason): void {
  worker?.postMessage(reason);
}
