/** How often what a digest names was put right by itself since all was last equal. */

/** By lot, or by a name that stands for a lot's records. */
export type Tries = Map<string, number>;

/** After so many tries the whole journal is read again. */
export const MOST_TRIES = 2;

/** True while another try is worth it. */
export function isLeft(tries: Tries, what: string): boolean {
  return (tries.get(what) ?? 0) < MOST_TRIES;
}

/** @returns how many tries there were before this one */
export function countTry(tries: Tries, what: string): number {
  const before = tries.get(what) ?? 0;
  tries.set(what, before + 1);
  return before;
}
