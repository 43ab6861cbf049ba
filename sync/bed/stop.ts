import type { BedInput, BedScore, Judged, Share, Stop } from '../../schema/types.ts';
import {
  decide,
  DEFAULT_LEVEL,
  joinByMover,
  morePots,
  newSprt,
  spreadOf,
  uniformityAt,
  uniformityWidth,
  type LotValues,
} from '../stats/index.ts';
import { FEWEST } from './due.ts';
import { bedEnd, mainJudged } from './lots.ts';

/** A trait's spread within lots: pooled, and the values of each lot that has any. */
export interface Spread {
  cv: number | null;
  /** The smallest of the lots'. */
  tolerance: number;
  strata: LotValues[];
}

/** Whether the walk has seen enough; the rule of the Go side. */
export function stopOf(input: BedInput, s: Omit<BedScore, 'stop'>, held: Spread | null): Stop {
  const j = mainJudged(input);
  const chlorosis = call(s.chlorosis, j);
  const roots = call(s.rot, j);
  const measured = s.traits.reduce((n, t) => n + t.n, 0);
  let more = 0;
  if (held !== null) more = moreForUniformity(held, j, bedEnd(s.pots_on_bed, s.seen), s.seen);
  else if (measured > 0 || s.chlorosis.n + s.rot.n === 0) more = Math.max(1, howMany(input, null) - s.seen);
  more = Math.max(more, chlorosis.more, roots.more);

  const all = s.pots_on_bed > 0 && s.seen >= s.pots_on_bed;
  const stop: Stop = { verdict: 'enough', more: 0, chlorosis: chlorosis.word, roots: roots.word };
  if (s.seen >= j.max_pots || all) {
    if (more > 0) stop.verdict = 'maximum';
  } else if (s.seen < j.min_pots) {
    stop.verdict = 'minimum';
    stop.more = Math.max(more, j.min_pots - s.seen);
  } else if (more > 0) {
    stop.verdict = 'more';
    stop.more = more;
  }
  stop.more = Math.min(stop.more, Math.max(0, j.max_pots - s.seen));
  if (s.pots_on_bed > 0) stop.more = Math.min(stop.more, Math.max(0, s.pots_on_bed - s.seen));
  return stop;
}

function call(s: Share, j: Judged): { word: string; more: number } {
  const risks = [j.risk_false_bp / 10000, j.risk_miss_bp / 10000] as const;
  // The tests share the walk's least number but not its most: the walk itself ends there.
  const test = newSprt(j.trouble_ok_bp / 10000, j.trouble_bad_bp / 10000, ...risks, j.min_pots, 0);
  if (test === null || s.n === 0) return { word: 'open', more: 0 };
  const says = decide(test, s.n, s.x);
  if (says === 'low') return { word: 'fine', more: 0 };
  if (says === 'high') return { word: 'trouble', more: 0 };
  return { word: 'open', more: morePots(test, s.n, s.x) ?? 1 };
}

/** At least one pot ahead is looked at, so that a walk at its greatest number of pots knows whether it reached its aim. */
function moreForUniformity(p: Spread, j: Judged, end: number, seen: number): number {
  if (p.cv === null || p.cv === 0) return 0;
  const now = measured(p);
  const good = (n: number): boolean => {
    const w = widthAt(p, n, end);
    return w !== null && w <= j.width_bp / 10000;
  };
  return halved(Math.max(now, 3), now + Math.max(1, j.max_pots - seen), good) - now;
}

/** The number of values in the lots whose spread is known. */
function measured({ strata }: Spread): number {
  return strata.reduce((n, { x }) => n + (x.length > 1 ? x.length : 0), 0);
}

/** How wide the joined interval would be with n values; see the Go side. */
function widthAt(p: Spread, n: number, end: number): number | null {
  const now = measured(p);
  const told = p.strata.filter(({ x }) => x.length > 1);
  const total = told.reduce((sum, { weight }) => sum + weight, 0);
  const parts = told.flatMap(({ x, tolerance, weight }) => {
    const { cv } = spreadOf(x, DEFAULT_LEVEL);
    if (cv === null || cv === 0) return [];
    const at = x.length + Math.trunc(((n - now) * weight) / total);
    return [{ ...uniformityAt(cv, tolerance, at, DEFAULT_LEVEL), weight: weight / total }];
  });
  const { low, high } = joinByMover(parts).interval;
  if (low === null || high === null) return null;
  return (high - low) * Math.sqrt(end > 0 ? Math.max(0, 1 - n / end) : 1);
}

/** The first n from least to most that is good, most when none is; once good, n stays so. */
function halved(least: number, most: number, good: (n: number) => boolean): number {
  while (least < most) {
    const middle = Math.floor((least + most) / 2);
    if (good(middle)) most = middle;
    else least = middle + 1;
  }
  return least;
}

/** The fewest pots from least (3 in any case) to most whose uniformity interval is no wider than width; most when none is. */
function needWithin(cv: number, tolerance: number, width: number, end: number, least: number, most: number): number {
  return halved(Math.max(least, 3), most, (n) => {
    const w = uniformityWidth(cv, tolerance, n, end, DEFAULT_LEVEL);
    return w !== null && w <= width;
  });
}

/** How many pots to plan a walk with, from the last walk's score or, without one, from the profile's expected spread. */
export function howMany(input: BedInput, last: BedScore | null): number {
  const j = mainJudged(input);
  let cv = j.expected_cv_bp / 10000;
  let tolerance = j.head_tolerance_bp / 10000;
  for (const t of last?.traits ?? []) {
    if (t.trait === last?.limiting_trait && t.cv.known && t.cv.value > 0 && t.n >= FEWEST) {
      cv = t.cv.value;
      tolerance = t.tolerance;
    }
  }
  const lots = new Set(input.lots.map((l) => l.lot)).size;
  const potsOnBed = input.lots.reduce((sum, l) => sum + l.pots_on_bed, 0);
  const most = Math.max(3, j.max_pots);
  let n = needWithin(cv, tolerance, j.width_bp / 10000, potsOnBed, 3, most) + Math.max(0, lots - 1);
  n = Math.min(Math.max(n, j.min_pots), Math.max(j.max_pots, 1));
  return potsOnBed > 0 ? Math.min(n, potsOnBed) : n;
}
