/**
 * What the phone computes while offline: the twin of the Go package beside it, only as much as a scout needs before meeting
 * the server. A number that is not known is null, never NaN and never 0; a null, NaN or infinity among the input values
 * means "not taken" and is counted as missing. Floats agree with the Go side to 1e-9 relative, whole numbers exactly.
 */

/** The product's confidence level: two-sided 90 %. */
export const DEFAULT_LEVEL = 0.9;

/** A value as it comes from a note: null when it was not taken. */
export type Taken = number | null;

/** Both limits in the unit of the value. `known` says that both exist; with a huge spread only `low` may. */
export interface Interval {
  low: number | null;
  high: number | null;
  known: boolean;
}

export interface Estimate {
  value: number | null;
  interval: Interval;
  n: number;
  missing: number;
}

export interface Summary {
  n: number;
  missing: number;
  mean: number | null;
  sd: number | null;
  min: number | null;
  max: number | null;
}

export function unknownInterval(): Interval {
  return { low: null, high: null, known: false };
}

export function between(low: number, high: number): Interval {
  return { low, high, known: true };
}

export function isLevel(level: number): boolean {
  return level > 0 && level < 1;
}

/** The values that were taken, in order. */
export function kept(x: readonly Taken[]): number[] {
  return x.filter((v): v is number => v !== null && Number.isFinite(v));
}

/** Count, mean and SD (divisor n-1), two passes with correction (Chan, Golub and LeVeque 1983). */
export function summarize(x: readonly Taken[]): Summary {
  const values = kept(x);
  const n = values.length;
  const none: Summary = { n, missing: x.length - n, mean: null, sd: null, min: null, max: null };
  if (n === 0) return none;
  let min = Infinity;
  let max = -Infinity;
  let sum = 0;
  for (const v of values) {
    min = Math.min(min, v);
    max = Math.max(max, v);
    sum += v;
  }
  // Equal values must give a spread of exactly zero; rounding in the mean would leave a trace of one.
  if (min === max) return { ...none, mean: min, sd: n > 1 ? 0 : null, min, max };
  const mean = sum / n;
  let squares = 0;
  let drift = 0;
  for (const v of values) {
    const d = v - mean;
    squares += d * d;
    drift += d;
  }
  return { ...none, mean, sd: Math.sqrt((squares - (drift * drift) / n) / (n - 1)), min, max };
}
