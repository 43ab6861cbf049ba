/** The device's two clocks and its session; everything that reads time for an entry reads it here. */
import { randomId } from './ids';

/** One run of the page. Monotonic times compare only within a session. */
export const session = randomId().slice(0, 16);

/** Milliseconds since 1970 by the device, right or wrong. */
export function wall(): number {
  return Math.max(0, Math.round(Date.now()));
}

/** Milliseconds since the session began, which no setting of the clock moves. */
export function mono(): number {
  return Math.max(0, Math.round(performance.now()));
}
