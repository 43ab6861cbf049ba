/** Lets whoever has news wake the courier, without everybody having to know it. */
export type Reason = 'saved' | 'online' | 'seen' | 'start' | 'timer' | 'nudge' | 'paired' | 'asked';

let sleeper: ((reason: Reason) => void) | undefined;

export function wake(reason: Reason): void {
  sleeper?.(reason);
}

export function onWake(listen: (reason: Reason) => void): void {
  sleeper = listen;
}
