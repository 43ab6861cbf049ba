import { kept, type Taken } from './values.ts';

/** The robust z beyond which a value is offered for a second look (Iglewicz and Hoaglin 1993). */
export const SLIP_LIMIT = 3.5;

const FEWEST_FOR_SLIPS = 5;

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

/** Positions in x of the values to look at again before they are scored. Give it one lot at a time. */
export function slips(x: readonly Taken[]): number[] {
  return robustZ(x).flatMap((z, i) => (z !== null && Math.abs(z) > SLIP_LIMIT ? [i] : []));
}

function median(sorted: readonly number[]): number {
  const half = sorted.length >> 1;
  const high = sorted[half] ?? 0;
  return sorted.length % 2 === 1 ? high : ((sorted[half - 1] ?? high) + high) / 2;
}
