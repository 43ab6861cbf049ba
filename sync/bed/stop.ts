import type { BedInput, BedScore, Judged, Share, Stop } from '../../schema/types.ts';
import { decide, DEFAULT_LEVEL, morePots, newSprt, uniformityWidth } from '../stats/index.ts';
import { bedEnd, FEWEST, mainJudged } from './lots.ts';

/** A trait's spread within lots, at the tolerance it is judged by. */
export interface Spread {
  cv: number | null;
  df: number;
  tolerance: number;
}

/** Whether the walk has seen enough; the rule of the Go side. */
export function stopOf(input: BedInput, s: Omit<BedScore, 'stop'>, held: Spread | null): Stop {
  const j = mainJudged(input);
  const chlorosis = call(s.chlorosis, j);
  const roots = call(s.rot, j);
  const measured = s.traits.reduce((n, t) => n + t.n, 0);
  let more = 0;
  if (held !== null) more = moreForUniformity(held, j, bedEnd(s.standing, s.seen), s.seen);
  else if (measured > 0 || s.chlorosis.n + s.rot.n === 0) more = Math.max(1, howMany(input, null) - s.seen);
  more = Math.max(more, chlorosis.more, roots.more);

  const all = s.standing > 0 && s.seen >= s.standing;
  const stop: Stop = { say: 'enough', more: 0, chlorosis: chlorosis.word, roots: roots.word };
  if (s.seen >= j.max_pots || all) {
    if (more > 0) stop.say = 'maximum';
  } else if (s.seen < j.min_pots) {
    stop.say = 'minimum';
    stop.more = Math.max(more, j.min_pots - s.seen);
  } else if (more > 0) {
    stop.say = 'more';
    stop.more = more;
  }
  stop.more = Math.min(stop.more, Math.max(0, j.max_pots - s.seen));
  if (s.standing > 0) stop.more = Math.min(stop.more, Math.max(0, s.standing - s.seen));
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

/** At least one pot ahead is looked at, so that a walk at its most pots knows whether it got its wish. */
function moreForUniformity(p: Spread, j: Judged, end: number, seen: number): number {
  if (p.cv === null || p.cv === 0) return 0;
  const now = p.df + 1;
  return needWithin(p.cv, p.tolerance, j.width_bp / 10000, end, now, now + Math.max(1, j.max_pots - seen)) - now;
}

/** The fewest pots from least (3 in any case) to most whose uniformity interval is no wider than width, by halving; most when none is. */
function needWithin(cv: number, tolerance: number, width: number, end: number, least: number, most: number): number {
  let from = Math.max(least, 3);
  let to = most;
  while (from < to) {
    const middle = Math.floor((from + to) / 2);
    const w = uniformityWidth(cv, tolerance, middle, end, DEFAULT_LEVEL);
    if (w !== null && w <= width) to = middle;
    else from = middle + 1;
  }
  return from;
}

/** How many pots to plan a walk with, from the last walk's score or, without one, from the profile's expected spread. */
export function howMany(input: BedInput, last: BedScore | null): number {
  const j = mainJudged(input);
  let cv = j.expected_cv_bp / 10000;
  let tolerance = j.head_tolerance_bp / 10000;
  for (const t of last?.traits ?? []) {
    if (t.trait === last?.held_by && t.cv.known && t.cv.value > 0 && t.n >= FEWEST) {
      cv = t.cv.value;
      tolerance = t.tolerance;
    }
  }
  const lots = new Set(input.lots.map((l) => l.lot)).size;
  const standing = input.lots.reduce((sum, l) => sum + l.standing, 0);
  const most = Math.max(3, j.max_pots);
  let n = needWithin(cv, tolerance, j.width_bp / 10000, standing, 3, most) + Math.max(0, lots - 1);
  n = Math.min(Math.max(n, j.min_pots), Math.max(j.max_pots, 1));
  return standing > 0 ? Math.min(n, standing) : n;
}
