/**
 * The page's end of the courier: wakes it after each save, when the network or the screen comes back, on a nudge and
 * at the start, and holds what it says of itself for the screens.
 */
import { signal } from '@preact/signals';
import type { CourierTold } from './courier';
import { atFirst, onWake, type Reason } from './wake';

export const courier = signal(atFirst);

let worker: Worker | undefined;

/** Starts the courier's thread, with nothing to carry yet. @returns when it runs, or cannot */
export function raise(): Promise<void> {
  const fresh = new Worker(new URL('./courier.worker.ts', import.meta.url), { type: 'module', name: 'courier' });
  worker = fresh;
  fresh.addEventListener('message', (event: MessageEvent<CourierTold>) => (courier.value = event.data));
  return new Promise((done) => {
    for (const event of ['message', 'error']) fresh.addEventListener(event, () => done(), { once: true });
  });
}

/** Starts carrying. Called once, when the app has started. */
export function start(): void {
  onWake(carry);
  addEventListener('online', () => carry('online'));
  addEventListener('pageshow', () => carry('seen'));
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') carry('seen');
  });
  carry('start');
}

export function carry(reason: Reason): void {
  worker?.postMessage(reason);
}
