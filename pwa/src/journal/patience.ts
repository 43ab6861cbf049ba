/**
 * How long an answer is waited for, in milliseconds. Doubled by each that did not come in time: where the network or the server always
 * takes longer, a fixed wait would never let a note arrive.
 */

const FIRST_PATIENCE_MS = 30_000;
/** The longest wait for an answer; what a file or a photo has from the first. */
export const LONGEST_PATIENCE_MS = 4 * 60_000;

let patience = FIRST_PATIENCE_MS;
/**
 * The same for the paths that were not answered in time, each until it is: that another request was answered quickly says nothing
 * about one that takes long.
 */
const ofPath = new Map<string, number>();

/** A path without what is asked of it. */
const asked = (path: string) => path.split('?')[0] ?? '';

export function patienceFor(path: string): number {
  return Math.max(patience, ofPath.get(asked(path)) ?? 0);
}

export function wasAnswered(path: string): void {
  patience = FIRST_PATIENCE_MS;
  ofPath.delete(asked(path));
}

/** @param wait what it was given: of two that are too slow side by side only one doubles it */
export function wasTooSlow(path: string, wait: number): void {
  patience = Math.min(LONGEST_PATIENCE_MS, wait * 2);
  ofPath.set(asked(path), patience);
}
