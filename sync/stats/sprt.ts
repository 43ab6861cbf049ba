/** Wald's sequential test of a share: after each pot "low", "high", "go on", or at the last pot "undecided". */
export interface Sprt {
  slope: number;
  low: number;
  high: number;
  p0: number;
  p1: number;
  alpha: number;
  beta: number;
  /** No call before this many pots. */
  least: number;
  /** Undecided at this many pots; 0: no end. */
  most: number;
}

export type Call = 'low' | 'high' | 'go on' | 'undecided';

/** A total exactly on a line continues the walk, on every device alike; see the Go side. */
const LINE_SLACK = 1e-9;

/** Binomial lines (Wald 1947, ch. 5); null when shares, risks or numbers of pots make no plan. */
export function newSprt(p0: number, p1: number, alpha: number, beta: number, least: number, most: number): Sprt | null {
  if (!(p0 > 0 && p0 < p1 && p1 < 1) || !(alpha > 0 && beta > 0 && alpha + beta < 1)) return null;
  if (least < 0 || most < 0 || (most > 0 && least > most)) return null;
  const unit = 1 / Math.log((p1 * (1 - p0)) / (p0 * (1 - p1)));
  return {
    slope: Math.log((1 - p0) / (1 - p1)) * unit,
    low: Math.log((1 - alpha) / beta) * unit,
    high: Math.log((1 - beta) / alpha) * unit,
    p0,
    p1,
    alpha,
    beta,
    least,
    most,
  };
}

/** The largest count that calls the share low at n pots, -1 when none does. */
export function acceptAt(s: Sprt, n: number): number {
  return Math.max(-1, Math.floor(s.slope * n - s.low - LINE_SLACK));
}

/** The smallest count that calls the share high at n pots. */
export function rejectAt(s: Sprt, n: number): number {
  return Math.ceil(s.slope * n + s.high + LINE_SLACK);
}

export function decide(s: Sprt, n: number, count: number): Call {
  if (n < 1 || n < s.least) return 'go on';
  if (count <= acceptAt(s, n)) return 'low';
  if (count >= rejectAt(s, n)) return 'high';
  return s.most > 0 && n >= s.most ? 'undecided' : 'go on';
}

/** About how many more pots a share of count/n needs to cross a line; null when it never will or the call is made. */
export function morePots(s: Sprt, n: number, count: number): number | null {
  if (decide(s, n, count) !== 'go on') return null;
  const p = n > 0 ? count / n : s.slope;
  let need = Infinity;
  if (p < s.slope) need = (count - (s.slope * n - s.low)) / (s.slope - p);
  else if (p > s.slope) need = (s.slope * n + s.high - count) / (p - s.slope);
  need = Math.max(need, s.least - n);
  if (s.most > 0) need = Math.min(need, s.most - n);
  return need === Infinity ? null : Math.max(1, Math.ceil(need - LINE_SLACK));
}
