/** Lets whoever has news wake the courier, without everybody having to know it. */
import type { SyncStatus } from './sync';

export type Reason = 'saved' | 'online' | 'seen' | 'start' | 'timer' | 'nudge' | 'paired' | 'asked';

let sleeper: ((reason: Reason) => void) | undefined;

export function wake(reason: Reason): void {
  sleeper?.(reason);
}

export function onWake(listen: (reason: Reason) => void): void {
  sleeper = listen;
}

/** What the courier says of itself, on its own thread and on the page, until it has begun. */
export const initialStatus: SyncStatus = {
  state: 'resting',
  detail: '',
  code: '',
  nextTryAt: 0,
  welcome: false,
  done: 0,
  of: 0,
};
