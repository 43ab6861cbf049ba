import { normalQuantile } from './quantile.ts';
import { between, isLevel, summarize, unknownInterval, type Estimate, type Taken } from './values.ts';

/**
 * The quantile of Student's t at p (0.5 to 1) on a whole number of degrees of freedom from 1, by Newton's steps on the finite
 * sums of Abramowitz and Stegun 1964, 26.7.3 and 26.7.4. The distribution is concave there, so steps from the normal quantile
 * (which lies below) rise to it without overshooting.
 */
export function studentQuantile(p: number, df: number): number {
  if (p === 0.5) return 0;
  if (p < 0.5) return -studentQuantile(1 - p, df);
  // Gamma((df+1)/2) / Gamma(df/2), from its value at 1 or 2 upward.
  let ratio = df % 2 === 1 ? 1 / Math.sqrt(Math.PI) : Math.sqrt(Math.PI) / 2;
  for (let k = 2 - (df % 2); k < df; k += 2) ratio *= (k + 1) / k;
  const top = ratio / Math.sqrt(df * Math.PI);
  let t = normalQuantile(p);
  for (let i = 0; i < 100; i++) {
    const density = top * (1 + (t * t) / df) ** (-(df + 1) / 2);
    const step = (p - below(t, df)) / density;
    t += step;
    if (Math.abs(step) <= 1e-14 * t) break;
  }
  return t;
}

function below(t: number, df: number): number {
  const angle = Math.atan(t / Math.sqrt(df));
  const cos2 = Math.cos(angle) ** 2;
  let term = df % 2 === 1 ? Math.cos(angle) : 1;
  let sum = df === 1 ? 0 : term;
  for (let k = 2 + (df % 2); k < df; k += 2) {
    term *= ((k - 1) / k) * cos2;
    sum += term;
  }
  const within = df % 2 === 1 ? (2 / Math.PI) * (angle + Math.sin(angle) * sum) : Math.sin(angle) * sum;
  return (1 + within) / 2;
}

/** The t interval of a mean, the finite bed (0: no end) taken in; the twin of MeanInterval on the Go side. */
export function meanInterval(x: readonly Taken[], bed: number, level: number): Estimate {
  const s = summarize(x);
  const e: Estimate = { value: s.mean, interval: unknownInterval(), n: s.n, missing: s.missing };
  if (s.mean === null || s.sd === null || !isLevel(level) || (bed > 0 && s.n > bed)) return e;
  const unseen = bed > 0 ? Math.max(0, 1 - s.n / bed) : 1;
  const half = studentQuantile((1 + level) / 2, s.n - 1) * s.sd * Math.sqrt(unseen / s.n);
  e.interval = between(s.mean - half, s.mean + half);
  return e;
}
