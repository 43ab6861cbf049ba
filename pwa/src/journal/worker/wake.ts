/** Wakes the sync worker for whoever has news; the callers need not know it. */
import type { SyncStatus } from './sync';

export type Reason = 'saved' | 'online' | 'seen' | 'start' | 'timer' | 'nudge' | 'paired' | 'asked';

let sleeper: ((reason: Reason) => void) | undefined;

export function wake(reason: Reason): void {
  sleeper?.(reason);
}

export function onWake(listen: (reason: Reason) => void): void {
  sleeper = listen;
}

/** The sync worker's status until it has begun, on its own thread and on the page. */
export const initialStatus: SyncStatus = {
  state: 'resting',
  detail: '',
  code: '',
  nextTryAt: 0,
  welcome: false,
  done: 0,
  of: 0,
};
