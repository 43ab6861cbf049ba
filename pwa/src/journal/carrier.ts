/**
 * The page's end of the courier: wakes it after each save, when the network or the screen comes back, on a nudge and
 * at the start, and holds what it says of itself for the screens.
 */
import { signal } from '@preact/signals';
import type { CourierTold } from './courier';
import { onWake, type Reason } from './wake';

export const courier = signal<CourierTold>({ state: 'resting', detail: '', nextTryAt: 0, done: 0, of: 0 });

let worker: Worker | undefined;

/** Starts carrying. Called once, when the app starts. */
export function start(): void {
  worker = new Worker(new URL('./courier.worker.ts', import.meta.url), { type: 'module', name: 'courier' });
  worker.addEventListener('message', (event: MessageEvent<CourierTold>) => (courier.value = event.data));
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
