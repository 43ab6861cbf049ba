import { normalQuantile } from './quantile.ts';
import { between, isLevel, unknownInterval, type Interval } from './values.ts';

export interface Share {
  count: number;
  n: number;
  value: number | null;
  interval: Interval;
}

export interface Severity {
  n: number;
  incidence: number | null;
  meanClass: number | null;
  meanClassAffected: number | null;
  index: number | null;
}

/** x of n pots on a bed of `bed` pots (0: no end), with the Wilson interval; unknown for n of 0. */
export function shareOf(x: number, n: number, bed: number, level: number): Share {
  if (n < 1 || x < 0 || x > n) return { count: x, n, value: null, interval: unknownInterval() };
  return { count: x, n, value: x / n, interval: wilson(x, n, bed, level) };
}

/** Wilson's interval (1927), with the finite bed as the Go side has it: n (N-1)/(N-n) for n, limits kept to what was seen. */
function wilson(x: number, n: number, bed: number, level: number): Interval {
  if (n < 1 || x < 0 || x > n || (bed > 0 && n > bed) || !isLevel(level)) return unknownInterval();
  const p = x / n;
  if (n === bed) return between(p, p);
  const m = bed > 0 ? (n * (bed - 1)) / (bed - n) : n;
  const z = normalQuantile((1 + level) / 2);
  const z2 = z * z;
  const middle = p + z2 / (2 * m);
  const half = z * Math.sqrt((p * (1 - p)) / m + z2 / (4 * (m * m)));
  let low = x === 0 ? 0 : (middle - half) / (1 + z2 / m);
  let high = x === n ? 1 : (middle + half) / (1 + z2 / m);
  if (bed > 0) {
    low = Math.max(low, x / bed);
    high = Math.min(high, (bed - n + x) / bed);
  }
  return between(low, high);
}

/** McKinney's severity index (1923) and its company, from the number of pots in class 0, 1, 2 ... */
export function severityOf(counts: readonly number[]): Severity {
  const none: Severity = { n: 0, incidence: null, meanClass: null, meanClassAffected: null, index: null };
  if (counts.some((c) => c < 0)) return none;
  const n = counts.reduce((a, c) => a + c, 0);
  if (n === 0 || counts.length < 2) return { ...none, n };
  const weighted = counts.reduce((a, c, k) => a + k * c, 0);
  const affected = n - (counts[0] ?? 0);
  return {
    n,
    incidence: affected / n,
    meanClass: weighted / n,
    meanClassAffected: affected > 0 ? weighted / affected : null,
    index: (100 * weighted) / (n * (counts.length - 1)),
  };
}
