import { erfc } from './quantile.ts';
import { shareOf, type Share } from './share.ts';
import { correctCv, spreadOf, vangelInterval, type Spread } from './spread.ts';
import { between, kept, unknownInterval, type Estimate, type Interval, type Taken } from './values.ts';

/** The least distance between expected and counted share that is worth a look; common practice, no source. */
const DIFFER_BY = 0.05;

export interface Uniformity {
  expected: Estimate;
  counted: Share;
  spread: Spread;
  differ: boolean;
}

/** Share of one lot's pots within the tolerance (a fraction) of their mean: expected from the CV, and counted. */
export function uniformityOf(x: readonly Taken[], tolerance: number, bed: number, level: number): Uniformity {
  const spread = spreadOf(x, level);
  const { mean, cvCorrected, n, missing } = spread;
  const expected: Estimate = { value: null, interval: unknownInterval(), n, missing };
  if (!(tolerance > 0) || cvCorrected === null || mean === null) {
    return { expected, counted: shareOf(0, 0, bed, level), spread, differ: false };
  }
  expected.value = withinTolerance(cvCorrected, tolerance);
  expected.interval = carried(spread.interval, tolerance);
  // A rounding error's room at the edge: 27 of a mean of 30 is within 10 % in cm and in inches.
  const inside = kept(x).filter((v) => Math.abs(v - mean) <= tolerance * mean * (1 + 1e-9)).length;
  const counted = shareOf(inside, n, bed, level);
  // Two humps or a few runts break the normal form: then the counted share's interval leaves the expected share out. Asked as if
  // the bed had no end, as on the Go side.
  const endless = shareOf(inside, n, 0, level);
  const { low, high } = endless.interval;
  const outside = low !== null && high !== null && (expected.value < low || expected.value > high);
  const differ = outside && Math.abs((endless.value ?? 0) - expected.value) >= DIFFER_BY;
  return { expected, counted, spread, differ };
}

/** The values of one lot of a bed, the tolerance it is judged by, and its weight: its pots on the bed. */
export interface LotValues {
  x: readonly Taken[];
  tolerance: number;
  weight: number;
}

/** The lots' shares weighted by their pots on the bed, their intervals joined by MOVER; see JoinedUniformity on the Go side. */
export function joinedUniformity(strata: readonly LotValues[], level: number): Estimate {
  let n = 0;
  let missing = 0;
  const parts = strata.map(({ x, tolerance, weight }) => {
    const { expected, counted } = uniformityOf(x, tolerance, 0, level);
    n += expected.n;
    missing += expected.missing;
    return { value: expected.value, interval: expected.interval, counted: counted.interval, weight };
  });
  const several = parts.filter((p) => p.value !== null && p.weight > 0).length > 1;
  const joined = parts.map((p) => (several && !p.interval.known ? { ...p, interval: p.counted } : p));
  return { ...joinByMover(joined), n, missing };
}

interface Part {
  value: number | null;
  interval: Interval;
  weight: number;
}

/** The weighted mean of independent estimates, their intervals joined; the unknown ones and those of weight 0 are left out. */
export function joinByMover(parts: readonly Part[]): Pick<Estimate, 'value' | 'interval'> {
  const left = parts.filter((p) => p.value !== null && p.weight > 0);
  const [only] = left;
  if (only === undefined) return { value: null, interval: unknownInterval() };
  if (left.length === 1) return { value: only.value, interval: only.interval };
  const total = left.reduce((sum, p) => sum + p.weight, 0);
  let value = 0;
  let below = 0;
  let above = 0;
  for (const p of left) {
    const w = p.weight / total;
    const share = p.value ?? 0;
    value += w * share;
    below += (w * (share - (p.interval.low ?? 0))) ** 2;
    above += (w * ((p.interval.high ?? 0) - share)) ** 2;
  }
  const known = left.every((p) => p.interval.known);
  return { value, interval: known ? between(value - Math.sqrt(below), value + Math.sqrt(above)) : unknownInterval() };
}

/** 2 Phi(tolerance/cv) - 1: the share of normal values within the tolerance of their mean. */
function withinTolerance(cv: number, tolerance: number): number {
  if (cv === 0 && tolerance > 0) return 1;
  if (cv < 0 || tolerance <= 0) return 0;
  return 1 - erfc(tolerance / cv / Math.SQRT2);
}

/** The uniformity that n values with a CV of cv would show. */
export function uniformityAt(
  cv: number,
  tolerance: number,
  n: number,
  level: number,
): Pick<Estimate, 'value' | 'interval'> {
  return {
    value: withinTolerance(correctCv(cv, n), tolerance),
    interval: carried(vangelInterval(cv, n, level), tolerance),
  };
}

function carried(cv: Interval, tolerance: number): Interval {
  if (cv.low === null) return unknownInterval();
  return between(cv.high === null ? 0 : withinTolerance(cv.high, tolerance), withinTolerance(cv.low, tolerance));
}

/** How wide the uniformity interval is at n pots, the finite bed (0: no end) taken in; null for n < 2. */
export function uniformityWidth(cv: number, tolerance: number, n: number, bed: number, level: number): number | null {
  const i = carried(vangelInterval(cv, n, level), tolerance);
  if (i.low === null || i.high === null || !(tolerance > 0)) return null;
  return (i.high - i.low) * Math.sqrt(bed > 0 ? Math.max(0, 1 - n / bed) : 1);
}
