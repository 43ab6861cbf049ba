import { studentQuantile } from './student.ts';
import { kept, type Taken } from './values.ts';

const FEWEST_FOR_SLIPS = 5;
const MOST_FOR_SLIPS = 1000;

/** The robust z that the farthest of n normal values passes with about the given chance; see the Go side. */
export function slipLimit(n: number, chance: number): number {
  n = Math.min(Math.max(n, FEWEST_FOR_SLIPS), MOST_FOR_SLIPS);
  const df = 0.4 * (n - 1) + 0.5;
  const whole = Math.floor(df);
  const at = (df: number): number => Math.log(studentQuantile(1 - chance / (2 * n), df));
  return Math.exp((1 - (df - whole)) * at(whole) + (df - whole) * at(whole + 1));
}

/** How far each value stands from the median in robust SDs; null as on the Go side (missing, fewer than five, all equal). */
export function robustZ(x: readonly Taken[]): (number | null)[] {
  const values = kept(x).sort((a, b) => a - b);
  const nothing = x.map(() => null);
  if (values.length < FEWEST_FOR_SLIPS) return nothing;
  const middle = median(values);
  const away = values.map((v) => Math.abs(v - middle));
  const mean = away.reduce((sum, v) => sum + v / away.length, 0);
  const mad = median([...away].sort((a, b) => a - b));
  const scale = mad > 0 ? mad / 0.6745 : 1.253314 * mean;
  if (scale === 0) return nothing;
  return x.map((v) => (v === null || !Number.isFinite(v) ? null : (v - middle) / scale));
}

function median(sorted: readonly number[]): number {
  const half = sorted.length >> 1;
  const high = sorted[half] ?? 0;
  return sorted.length % 2 === 1 ? high : ((sorted[half - 1] ?? high) + high) / 2;
}
