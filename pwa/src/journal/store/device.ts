/** What only this device can say: its two clocks and its session, which every entry's time is read from here, and random ids. */

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

/** 128 random bits in 32 lower-case hexadecimal digits. */
export function randomId(): string {
  return Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, '0')).join('');
}
