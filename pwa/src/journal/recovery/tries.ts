/** What was tried since all was last equal, of notes and of records each by itself, so that what cannot be put right is not tried for ever. */

export interface Tried {
  /** How often each lot was put right by itself. */
  readonly lots: Map<string, number>;
  /** Those that were asked for and not answered: they are tried after the others. */
  readonly last: Set<string>;
  /** The epoch and the lots for which the whole journal was last read again; '' for none. */
  whole: string;
}

export interface Tries {
  readonly notes: Tried;
  readonly records: Tried;
}

export function noTries(): Tries {
  const none = (): Tried => ({ lots: new Map(), last: new Set(), whole: '' });
  return { notes: none(), records: none() };
}

/** All is equal: what differs from now on is tried like the first time. */
export function forget(tried: Tried): void {
  tried.lots.clear();
  tried.last.clear();
  tried.whole = '';
}

/** After so many tries the whole journal is read again. */
export const MOST_TRIES = 2;

/** True while another try is worth it. */
export function isLeft({ lots }: Tried, lot: string): boolean {
  return (lots.get(lot) ?? 0) < MOST_TRIES;
}

export function countTry({ lots }: Tried, lot: string): void {
  lots.set(lot, (lots.get(lot) ?? 0) + 1);
}

/** True once for the same lots: a difference that reading the whole journal again does not put right is the supervisor's to see. */
export function mayReadWhole(tried: Tried, epoch: string, differ: readonly string[]): boolean {
  const which = [epoch, ...differ].join(' ');
  const isNew = which !== tried.whole;
  tried.whole = which;
  return isNew;
}
