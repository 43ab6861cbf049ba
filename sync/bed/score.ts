import type { BedInput, BedScore, Estimate, LotScore, TraitScore } from '../../schema/types.ts';
import {
  DEFAULT_LEVEL,
  poolWithin,
  studentQuantile,
  summarize,
  uniformityOf,
  varianceComponents,
  withinTolerance,
  meanInterval,
  type Estimate as Reckoned,
} from '../stats/index.ts';
import { bedEnd, FEWEST, lotsOf, standingOf, toleranceOf, TRAITS, type LotPots } from './lots.ts';
import { edgeOf, flagsOf, toInterval, toShare } from './shares.ts';
import { slipsOf } from './slips.ts';
import { stopOf, type Spread } from './stop.ts';
import { unwalkedOf } from './unwalked.ts';

/**
 * What the phone reckons of one bed while offline: the twin of Measure on the Go side. Findings and grade-out come from the
 * server; findings are empty here.
 */
export function scoreBed(input: BedInput): BedScore {
  const lots = lotsOf(input);
  const standing = standingOf(lots);
  const scores = lots.map(scoreLot);
  const pools = TRAITS.map((_, i) => poolOf(lots, i));
  const traits = TRAITS.map((name, i) => bedTrait(name, i, lots, scores, pools[i] ?? noPool(), standing));
  const held = headline(traits);
  const headlined = traits[held];
  const pool = pools[held];
  const unwalked = unwalkedOf(input);
  const partly: Omit<BedScore, 'stop'> = {
    seen: input.pots.length,
    standing,
    uniformity: headlined?.uniformity ?? unknown(0),
    ...(headlined ? { held_by: headlined.trait } : {}),
    traits,
    without_slips: headlined ? withoutSlips(lots, scores, held) : unknown(0),
    between_lots: betweenLots(lots),
    ...flagsOf(
      lots.flatMap((l) => l.pots),
      standing,
    ),
    lots: scores,
    findings: [],
    ...edgeOf(input),
    ...(unwalked ? { unwalked } : {}),
    few: Math.max(...traits.map((t) => t.n)) < FEWEST,
  };
  return { ...partly, stop: stopOf(input, partly, headlined && pool ? pool : null) };
}

function scoreLot(l: LotPots): LotScore {
  const root_cover = [0, 0, 0, 0, 0, 0];
  const root_life = [0, 0, 0, 0, 0];
  let soft_flush = 0;
  const bump = (counts: number[], i: number | undefined): void => {
    if (i !== undefined && counts[i] !== undefined) counts[i]++;
  };
  for (const { now } of l.pots) {
    bump(root_cover, now.root_cover);
    bump(root_life, now.root_life === undefined ? undefined : now.root_life - 1);
    if (now.soft_flush === true) soft_flush++;
  }
  const slips = slipsOf(l);
  return {
    lot: l.lot,
    seen: l.pots.length,
    standing: l.standing,
    traits: TRAITS.map((name, i) => lotTrait(name, i, l)),
    root_cover,
    root_life,
    ...flagsOf(l.pots, l.standing),
    soft_flush,
    ...(slips.length > 0 ? { slips } : {}),
  };
}

function lotTrait(trait: string, i: number, l: LotPots): TraitScore {
  const x = valuesOf(l, i);
  const tolerance = toleranceOf(l.judged, i);
  const end = bedEnd(l.standing, x.length);
  const { expected, counted, spread, differ } = uniformityOf(x, tolerance, end, DEFAULT_LEVEL);
  return {
    trait,
    n: x.length,
    mean: toEstimate(meanInterval(x, end, DEFAULT_LEVEL)),
    sd: spread.sd ?? 0,
    cv: {
      value: spread.cvCorrected ?? 0,
      interval: toInterval(spread.interval),
      n: x.length,
      known: spread.cvCorrected !== null,
    },
    tolerance,
    uniformity: toEstimate(expected),
    counted: {
      x: counted.count,
      n: counted.n,
      value: counted.value ?? 0,
      interval: toInterval(counted.interval),
      known: counted.value !== null,
    },
    disagree: differ,
  };
}

/** The weaker trait: the lower uniformity among the traits seen on enough pots, or among all while none was; -1 for none. */
function headline(traits: readonly TraitScore[]): number {
  const enough = traits.some((t) => t.uniformity.known && t.n >= FEWEST);
  let held = -1;
  traits.forEach((t, i) => {
    if (!t.uniformity.known || (enough && t.n < FEWEST)) return;
    const best = traits[held];
    if (best === undefined || t.uniformity.value < best.uniformity.value) held = i;
  });
  return held;
}

/** A trait's spread within lots: `cv` at one tolerance for all lots (see the Go side), `plain` as it is. */
interface Pool extends Spread {
  plain: Estimate;
  uniformity: Estimate;
}

function noPool(): Pool {
  return { cv: null, df: 0, tolerance: 0, plain: unknown(0), uniformity: unknown(0) };
}

function poolOf(lots: readonly LotPots[], trait: number, leave?: (lot: number, value: number) => boolean): Pool {
  const tolerances = lots
    .filter((l) => valuesOf(l, trait).length > 0)
    .map((l) => toleranceOf(l.judged, trait))
    .filter((own) => own > 0);
  const tolerance = tolerances.length > 0 ? Math.min(...tolerances) : 0;
  const sameTolerance = tolerances.every((own) => own === tolerance);
  const plain: number[][] = [];
  const scaled: number[][] = [];
  lots.forEach((l, i) => {
    let x = valuesOf(l, trait);
    if (leave) x = x.filter((_, j) => !leave(i, j));
    if (x.length === 0) return;
    plain.push(x);
    scaled.push(rescale(x, tolerance / toleranceOf(l.judged, trait)));
  });
  const p = poolWithin(scaled, DEFAULT_LEVEL);
  const cv = sameTolerance ? p : poolWithin(plain, DEFAULT_LEVEL);
  const uniformity = unknown(p.n);
  if (p.cvCorrected !== null && tolerance > 0) {
    uniformity.value = withinTolerance(p.cvCorrected, tolerance);
    uniformity.known = true;
    const { low, high } = p.interval;
    if (low !== null) {
      uniformity.interval = {
        low: high === null ? 0 : withinTolerance(high, tolerance),
        high: withinTolerance(low, tolerance),
        known: true,
      };
    }
  }
  return {
    cv: p.cv,
    df: p.df,
    tolerance,
    plain: { value: cv.cvCorrected ?? 0, interval: toInterval(cv.interval), n: cv.n, known: cv.cvCorrected !== null },
    uniformity,
  };
}

function rescale(x: number[], by: number): number[] {
  if (!(by < 1)) return x;
  const mean = summarize(x).mean ?? 0;
  return x.map((v) => mean + (v - mean) * by);
}

function bedTrait(
  trait: string,
  i: number,
  lots: readonly LotPots[],
  scores: readonly LotScore[],
  p: Pool,
  standing: number,
): TraitScore {
  let n = 0;
  let inside = 0;
  let counted = 0;
  let filled = 0;
  let only: TraitScore | undefined;
  for (const s of scores) {
    const one = s.traits[i];
    if (one === undefined || one.n === 0) continue;
    filled++;
    only = one;
    n += one.n;
    inside += one.counted.x;
    counted += one.counted.n;
  }
  const share = toShare(inside, counted, standing);
  const a = p.uniformity.interval;
  const b = share.interval;
  return {
    trait,
    n,
    mean: filled > 1 ? stratifiedMean(lots, i) : (only?.mean ?? unknown(0)),
    sd: filled > 1 ? pooledSD(lots, i) : (only?.sd ?? 0),
    cv: { ...p.plain, n },
    tolerance: p.tolerance,
    uniformity: p.uniformity,
    counted: share,
    disagree: a.known && b.known && (a.low > b.high || b.low > a.high),
  };
}

/** The mean of a mixed bed, weighted by pots standing, with the t interval of a stratified mean; see the Go side. */
function stratifiedMean(lots: readonly LotPots[], trait: number): Estimate {
  const filled = lots.filter((l) => valuesOf(l, trait).length > 0);
  const standingKnown = filled.every((l) => l.standing > 0);
  const weight = (l: LotPots): number => (standingKnown ? l.standing : valuesOf(l, trait).length);
  const total = filled.reduce((sum, l) => sum + weight(l), 0);
  let mean = 0;
  let variance = 0;
  let n = 0;
  let df = 0;
  let spreadKnown = true;
  for (const l of filled) {
    const s = summarize(valuesOf(l, trait));
    const w = weight(l) / total;
    mean += w * (s.mean ?? 0);
    n += s.n;
    df += s.n - 1;
    if (s.sd === null) {
      spreadKnown = false;
      continue;
    }
    const end = bedEnd(l.standing, s.n);
    variance += (w * w * (s.sd * s.sd) * (end > 0 ? 1 - s.n / end : 1)) / s.n;
  }
  const e: Estimate = { ...unknown(n), value: mean, known: n > 0 };
  if (spreadKnown && df > 0) {
    const half = studentQuantile((1 + DEFAULT_LEVEL) / 2, df) * Math.sqrt(variance);
    e.interval = { low: mean - half, high: mean + half, known: true };
  }
  return e;
}

function pooledSD(lots: readonly LotPots[], trait: number): number {
  let squares = 0;
  let df = 0;
  for (const l of lots) {
    const s = summarize(valuesOf(l, trait));
    if (s.sd === null) continue;
    squares += (s.n - 1) * (s.sd * s.sd);
    df += s.n - 1;
  }
  return df === 0 ? 0 : Math.sqrt(squares / df);
}

/** The share of the spread in head size between lots (ANOVA variance components, unequal lots), cut to 0..1. */
function betweenLots(lots: readonly LotPots[]): Estimate {
  const { n, shareBetween, interval } = varianceComponents(
    lots.map((l) => l.values[0].x),
    DEFAULT_LEVEL,
  );
  if (shareBetween === null) return unknown(n);
  const cut = (limit: number | null): number => Math.max(0, Math.min(1, limit ?? 0));
  return {
    value: shareBetween,
    interval: interval.known
      ? { low: cut(interval.low), high: cut(interval.high), known: true }
      : { low: 0, high: 0, known: false },
    n,
    known: true,
  };
}

/** The headline's uniformity with the values left out that look like slips; unknown when there are none. */
function withoutSlips(lots: readonly LotPots[], scores: readonly LotScore[], trait: number): Estimate {
  const flaggedIn = scores.map(
    (s) => new Set((s.slips ?? []).filter((slip) => slip.trait === TRAITS[trait]).map((slip) => slip.pot)),
  );
  if (flaggedIn.every((flagged) => flagged.size === 0)) return unknown(0);
  return poolOf(lots, trait, (lot, value) => {
    const l = lots[lot];
    const pot = l?.pots[l.values[trait === 0 ? 0 : 1].pots[value] ?? -1];
    return pot !== undefined && (flaggedIn[lot]?.has(pot.id) ?? false);
  }).uniformity;
}

function valuesOf(l: LotPots, trait: number): number[] {
  return l.values[trait === 0 ? 0 : 1].x;
}

function unknown(n: number): Estimate {
  return { value: 0, interval: { low: 0, high: 0, known: false }, n, known: false };
}

function toEstimate(e: Reckoned): Estimate {
  return { value: e.value ?? 0, interval: toInterval(e.interval), n: e.n, known: e.value !== null };
}
