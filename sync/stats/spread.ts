import { chiSquareQuantile } from './quantile.ts';
import { between, isLevel, summarize, unknownInterval, type Interval, type Summary, type Taken } from './values.ts';

/** The CV up to which Vangel's interval is close to the exact normal one; above it the interval is called rough. */
const CV_REACH = 0.33;

export interface Spread extends Summary {
  cv: number | null;
  cvCorrected: number | null;
  interval: Interval;
  rough: boolean;
}

/** The spread of the lots of a bed within themselves; the fields of the Go side that a phone shows. */
export interface Pooled {
  n: number;
  missing: number;
  lots: number;
  df: number;
  cv: number | null;
  cvCorrected: number | null;
  interval: Interval;
  tooFewInLots: number;
}

/** SD over mean of one lot. Unknown for fewer than two values, a mean of zero, or any negative value; 0 when all are equal. */
export function spreadOf(x: readonly Taken[], level: number): Spread {
  const s = summarize(x);
  const none: Spread = { ...s, cv: null, cvCorrected: null, interval: unknownInterval(), rough: false };
  if (s.sd === null || s.mean === null || s.min === null || s.min < 0 || s.mean <= 0) return none;
  const cv = s.sd / s.mean;
  return {
    ...none,
    cv,
    cvCorrected: correctCv(cv, s.n),
    interval: vangelInterval(cv, s.n, level),
    rough: cv > CV_REACH,
  };
}

/** (1 + 1/4n) cv (Haldane 1955; Sokal and Rohlf 1995, p. 58). */
export function correctCv(cv: number, n: number): number {
  return cv * (1 + 1 / (4 * n));
}

/** Vangel's modified McKay interval for a CV from n normal values (Vangel 1996, eq. 16). */
export function vangelInterval(cv: number, n: number, level: number): Interval {
  if (n < 2 || !(cv > 0) || cv === Infinity || !isLevel(level)) return unknownInterval();
  const v = n - 1;
  const limit = (p: number): number | null => {
    const u = chiSquareQuantile(p, v);
    const under = ((u + 2) / n - 1) * (cv * cv) + u / v;
    return under <= 0 ? null : cv / Math.sqrt(under);
  };
  const low = limit((1 + level) / 2);
  if (low === null) return unknownInterval();
  const high = limit((1 - level) / 2);
  return high === null ? { low, high, known: false } : between(low, high);
}

/** CVs of lots pooled by degrees of freedom, so that two even cultivars of different size stay even. */
export function poolWithin(lots: readonly (readonly Taken[])[], level: number): Pooled {
  const p: Pooled = {
    n: 0,
    missing: 0,
    lots: 0,
    df: 0,
    cv: null,
    cvCorrected: null,
    interval: unknownInterval(),
    tooFewInLots: 0,
  };
  let squares = 0;
  for (const x of lots) {
    const s = spreadOf(x, level);
    p.n += s.n;
    p.missing += s.missing;
    if (s.cv === null) {
      if (s.n > 0) p.tooFewInLots++;
      continue;
    }
    p.lots++;
    p.df += s.n - 1;
    squares += (s.n - 1) * (s.cv * s.cv);
  }
  if (p.df === 0) return p;
  p.cv = Math.sqrt(squares / p.df);
  p.cvCorrected = correctCv(p.cv, p.df + 1);
  p.interval = vangelInterval(p.cv, p.df + 1, level);
  return p;
}
