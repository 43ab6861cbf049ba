/**
 * Normal and chi-square probabilities for the phone. Chi-square on whole degrees of freedom has a finite sum, so that a table
 * is not needed: any level and any n come out, and the vectors hold them to R's values.
 */

const SQRT_PI = Math.sqrt(Math.PI);

/**
 * The complementary error function: the Maclaurin series below 2, the continued fraction (Abramowitz and Stegun 1964, 7.1.14)
 * above, which between them keep 14 digits.
 */
export function erfc(x: number): number {
  if (x < 0) return 2 - erfc(-x);
  if (x < 2) {
    // erf x = 2/sqrt(pi) exp(-x^2) sum 2^k x^(2k+1) / (1 3 5 ... (2k+1)): all terms positive, so nothing cancels.
    let term = x;
    let sum = x;
    for (let k = 1; term > sum * 1e-17; k++) {
      term *= (2 * x * x) / (2 * k + 1);
      sum += term;
    }
    return 1 - (2 / SQRT_PI) * Math.exp(-x * x) * sum;
  }
  let fraction = 0;
  for (let k = 120; k >= 1; k--) fraction = k / 2 / (x + fraction);
  return Math.exp(-x * x) / (SQRT_PI * (x + fraction));
}

/** Phi(x), the standard normal distribution. */
export function normalCdf(x: number): number {
  return erfc(-x / Math.SQRT2) / 2;
}

/** The standard normal quantile of p, 0 < p < 1. Outside that there is none: NaN would spread, so the infinities are given. */
export function normalQuantile(p: number): number {
  if (p <= 0) return -Infinity;
  if (p >= 1) return Infinity;
  if (p > 0.5) return -normalQuantile(1 - p);
  // Start from Abramowitz and Stegun 26.2.23 (good to 4.5e-4), then Halley's steps to the last digits.
  const t = Math.sqrt(-2 * Math.log(p));
  let z = -(
    t -
    (2.515517 + 0.802853 * t + 0.010328 * t * t) / (1 + 1.432788 * t + 0.189269 * t * t + 0.001308 * t * t * t)
  );
  for (let i = 0; i < 3; i++) {
    const step = (normalCdf(z) - p) * Math.sqrt(2 * Math.PI) * Math.exp((z * z) / 2);
    z -= step / (1 + (z * step) / 2);
  }
  return z;
}

interface Chi {
  upper: number;
  density: number;
}

/**
 * P(chi-square > x) on a whole number of degrees of freedom and the density there: for even df the Poisson sum, for odd df
 * erfc and the same sum over half numbers (Abramowitz and Stegun 1964, 26.4.4 and 26.4.5).
 */
function chi(x: number, df: number): Chi {
  const half = x / 2;
  const odd = df % 2 === 1;
  // Terms run h^(a) e^(-h) / Gamma(a+1) with a = 0, 1, .. or 1/2, 3/2, ..; logs keep large df from underflowing.
  let a = odd ? 0.5 : 0;
  let log = a * Math.log(half) - half - (odd ? Math.log(SQRT_PI / 2) : 0);
  let upper = odd ? erfc(Math.sqrt(half)) : 0;
  // The density on df is the term one below the sum's last: half of h^(df/2-1) e^(-h) / Gamma(df/2).
  let density = odd ? Math.exp(-half) / Math.sqrt(half) / SQRT_PI / 2 : 0;
  while (a < df / 2 - 0.25) {
    const term = Math.exp(log);
    upper += term;
    density = term / 2;
    a += 1;
    log += Math.log(half / a);
  }
  return { upper: Math.min(1, upper), density };
}

/** The chi-square quantile of p on df degrees of freedom (a whole number from 1), by Newton's steps from Wilson and Hilferty. */
export function chiSquareQuantile(p: number, df: number): number {
  const w = 2 / (9 * df);
  let x = df * Math.max(0.02, 1 - w + normalQuantile(p) * Math.sqrt(w)) ** 3;
  // On one degree of freedom the start is exact: a squared normal.
  if (df === 1) return normalQuantile((1 + p) / 2) ** 2;
  for (let i = 0; i < 60; i++) {
    const { upper, density } = chi(x, df);
    const step = (1 - upper - p) / density;
    const next = x - step > x / 4 ? Math.min(x - step, 4 * x) : x / 4;
    if (Math.abs(next - x) <= 1e-13 * x) return next;
    x = next;
  }
  return x;
}
