/** When a lot's shipping is so long ago that no walk that is looked at saw it. */

/** How long a lot has been quiet before its notes may go, by the server's clock. */
export const QUIET_MS = 30 * 24 * 60 * 60_000;

/** @param shippedOn a day as YYYY-MM-DD @param now ms since 1970 */
export function isLongShipped(shippedOn: string, now: number): boolean {
  return shippedOn < utcDay(now - QUIET_MS);
}

/** The day at Greenwich, as YYYY-MM-DD. @param at ms since 1970 */
export function utcDay(at: number): string {
  return new Date(at).toISOString().slice(0, 10);
}
