import { between as limits, isLevel, summarize, unknownInterval, type Interval, type Taken } from './values.ts';

/** The share of a bed's spread that lies between its lots; the part of the Go side's Components that a phone shows. */
export interface Components {
  n: number;
  /** Null with fewer than two lots, or where nothing varies. */
  shareBetween: number | null;
  /** Of the share, as it comes: its lower limit may lie below 0. */
  interval: Interval;
}

/** One-way random-effects variance components by ANOVA for unequal lots; see VarianceComponents on the Go side. */
export function varianceComponents(lots: readonly (readonly Taken[])[], level: number): Components {
  const sums = lots.map(summarize).filter((s) => s.n > 0);
  const n = sums.reduce((a, s) => a + s.n, 0);
  const k = sums.length;
  const c: Components = { n, shareBetween: null, interval: unknownInterval() };
  if (k < 2 || n <= k) return c;
  const grand = sums.reduce((a, s) => a + (s.mean ?? 0) * s.n, 0) / n;
  let between = 0;
  let within = 0;
  let squares = 0;
  for (const s of sums) {
    between += s.n * ((s.mean ?? 0) - grand) ** 2;
    within += (s.n - 1) * (s.sd ?? 0) ** 2;
    squares += s.n * s.n;
  }
  const [msBetween, msWithin, n0] = [between / (k - 1), within / (n - k), (n - squares / n) / (k - 1)];
  const varBetween = Math.max(0, (msBetween - msWithin) / n0);
  if (varBetween + msWithin > 0) c.shareBetween = varBetween / (varBetween + msWithin);
  if (msWithin > 0 && isLevel(level)) {
    const f = msBetween / msWithin;
    const limit = (p: number): number => {
      const ratio = f / fQuantile(p, k - 1, n - k);
      return (ratio - 1) / (ratio + n0 - 1);
    };
    c.interval = limits(limit((1 + level) / 2), limit((1 - level) / 2));
  }
  return c;
}

/** The quantile of F at p, by that of the beta distribution of d1 F/(d1 F + d2). */
export function fQuantile(p: number, d1: number, d2: number): number {
  const x = betaQuantile(p, d1 / 2, d2 / 2);
  return (d2 * x) / (d1 * (1 - x));
}

/**
 * The quantile of the beta distribution at p, by halving; its continued fraction (Abramowitz and Stegun 1964, 26.5.8) keeps 14 digits.
 */
export function betaQuantile(p: number, a: number, b: number): number {
  let low = 0;
  let high = 1;
  // Until no number lies between the two, which is sooner than there are powers of two.
  for (let i = 0; i < 1100; i++) {
    const middle = (low + high) / 2;
    if (middle === low || middle === high) break;
    if (betaCdf(middle, a, b) < p) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** The regularised incomplete beta function I_x(a, b). */
function betaCdf(x: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  if (x > (a + 1) / (a + b + 2)) return 1 - betaCdf(1 - x, b, a);
  const front = Math.exp(a * Math.log(x) + b * Math.log1p(-x) + logGamma(a + b) - logGamma(a) - logGamma(b)) / a;
  // Lentz's way to sum a continued fraction from the front (Lentz 1976, Applied Optics 15:668).
  let c = 1;
  let d = 1 / (1 - ((a + b) * x) / (a + 1));
  let fraction = d;
  for (let m = 1; m < 500; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / (1 + even * d);
    c = 1 + even / c;
    fraction *= c * d;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / (1 + odd * d);
    c = 1 + odd / c;
    fraction *= c * d;
    if (Math.abs(c * d - 1) < 1e-16) break;
  }
  return front * fraction;
}

/**
 * ln Gamma of a number above 0: of a whole or half one by its products, exact to the last digits for the sizes that beds have, of any other by
 * Stirling's series (Abramowitz and Stegun 1964, 6.1.41), to 14 digits.
 */
function logGamma(a: number): number {
  let log = 0;
  if ((2 * a) % 1 === 0) {
    log = a % 1 === 0 ? 0 : Math.log(Math.PI) / 2;
    for (let k = a % 1 === 0 ? 1 : 0.5; k < a; k++) log += Math.log(k);
    return log;
  }
  let x = a;
  for (; x < 15; x++) log -= Math.log(x);
  const series = 1 / (12 * x) - 1 / (360 * x ** 3) + 1 / (1260 * x ** 5) - 1 / (1680 * x ** 7);
  return log + (x - 0.5) * Math.log(x) - x + Math.log(2 * Math.PI) / 2 + series;
}
