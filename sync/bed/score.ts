import type { BedInput, BedScore, Estimate, LotScore, TraitScore } from '../../schema/types.ts';
import {
  DEFAULT_LEVEL,
  joinedUniformity,
  meanInterval,
  poolWithin,
  studentQuantile,
  summarize,
  uniformityOf,
  varianceComponents,
  type Estimate as Computed,
  type LotValues,
} from '../stats/index.ts';
import { FEWEST } from './due.ts';
import { bedEnd, lotsOf, sumPotsOnBed, toleranceOf, TRAITS, type LotPots } from './lots.ts';
import { edgeOf, flagsOf, toInterval, toShare } from './shares.ts';
import { slipsOf } from './slips.ts';
import { stopOf, type Spread } from './stop.ts';
import { unwalkedOf } from './unwalked.ts';

/**
 * What the phone computes of one bed while offline: the twin of Measure on the Go side. Findings and grade-out come from the
 * server; findings are empty here.
 */
export function scoreBed(input: BedInput): BedScore {
  const lots = lotsOf(input);
  const potsOnBed = sumPotsOnBed(lots);
  const scores = lots.map((l) => scoreLot(l, lots.length));
  const pools = TRAITS.map((_, i) => poolOf(lots, i));
  const traits = TRAITS.map((name, i) => bedTrait(name, i, lots, scores, pools[i] ?? noPool(), potsOnBed));
  const held = headline(traits);
  const headlined = traits[held];
  const pool = pools[held];
  const unwalked = unwalkedOf(input);
  const measured = Math.max(...traits.map((t) => t.n));
  const partly: Omit<BedScore, 'stop'> = {
    seen: input.pots.length,
    pots_on_bed: potsOnBed,
    uniformity: headlined?.uniformity ?? unknown(0),
    ...(headlined ? { limiting_trait: headlined.trait } : {}),
    traits,
    without_slips: headlined ? withoutSlips(lots, scores, held) : unknown(0),
    between_lots: betweenLots(lots),
    ...flagsOf(
      lots.flatMap((l) => l.pots),
      potsOnBed,
    ),
    lots: scores,
    findings: [],
    ...edgeOf(input),
    ...(unwalked ? { unwalked } : {}),
    // A walk on which nothing was measured is not a walk with few pots.
    too_few_pots: measured < FEWEST && (measured > 0 || input.pots.length < FEWEST),
  };
  return { ...partly, stop: stopOf(input, partly, headlined && pool ? pool : null) };
}

function scoreLot(l: LotPots, lots: number): LotScore {
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
  const slips = slipsOf(l, lots);
  return {
    lot: l.lot,
    seen: l.pots.length,
    pots_on_bed: l.potsOnBed,
    traits: TRAITS.map((name, i) => lotTrait(name, i, l)),
    root_cover,
    root_life,
    ...flagsOf(l.pots, l.potsOnBed),
    soft_flush,
    ...(slips.length > 0 ? { slips } : {}),
  };
}

function lotTrait(trait: string, i: number, l: LotPots): TraitScore {
  const x = valuesOf(l, i);
  const tolerance = toleranceOf(l.judged, i);
  const end = bedEnd(l.potsOnBed, x.length);
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

/** A trait's spread within lots; `plain` is the CV pooled over them. See the Go side. */
interface Pool extends Spread {
  plain: Estimate;
  uniformity: Estimate;
}

function noPool(): Pool {
  return { cv: null, tolerance: 0, strata: [], plain: unknown(0), uniformity: unknown(0) };
}

function poolOf(lots: readonly LotPots[], trait: number, leave?: (lot: number, value: number) => boolean): Pool {
  const weights = strataWeights(lots, trait);
  let tolerance = 0;
  const strata: LotValues[] = [];
  lots.forEach((l, i) => {
    let x = valuesOf(l, trait);
    if (leave) x = x.filter((_, j) => !leave(i, j));
    if (x.length === 0) return;
    const own = toleranceOf(l.judged, trait);
    if (own > 0 && (tolerance === 0 || own < tolerance)) tolerance = own;
    strata.push({ x, tolerance: own, weight: weights[i] ?? 0 });
  });
  const p = poolWithin(
    strata.map(({ x }) => x),
    DEFAULT_LEVEL,
  );
  return {
    cv: p.cv,
    tolerance,
    strata,
    plain: { value: p.cvCorrected ?? 0, interval: toInterval(p.interval), n: p.n, known: p.cvCorrected !== null },
    uniformity: toEstimate(joinedUniformity(strata, DEFAULT_LEVEL)),
  };
}

/** Pots on the bed of each lot with values; pots seen where that number is not known for some lot. */
function strataWeights(lots: readonly LotPots[], trait: number): number[] {
  const seen = lots.map((l) => valuesOf(l, trait).length);
  const countKnown = lots.every((l, i) => seen[i] === 0 || l.potsOnBed > 0);
  return lots.map((l, i) => (seen[i] === 0 ? 0 : countKnown ? l.potsOnBed : (seen[i] ?? 0)));
}

function bedTrait(
  trait: string,
  i: number,
  lots: readonly LotPots[],
  scores: readonly LotScore[],
  p: Pool,
  potsOnBed: number,
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
  const thin = lots
    .filter((l) => filled > 1 && valuesOf(l, i).length > 0 && valuesOf(l, i).length < FEWEST)
    .map((l) => l.lot);
  return {
    trait,
    n,
    mean: filled > 1 ? stratifiedMean(lots, i) : (only?.mean ?? unknown(0)),
    sd: filled > 1 ? pooledSD(lots, i) : (only?.sd ?? 0),
    cv: { ...p.plain, n },
    tolerance: p.tolerance,
    uniformity: p.uniformity,
    counted: toShare(inside, counted, potsOnBed),
    disagree: scores.some((s) => s.traits[i]?.disagree === true),
    ...(thin.length > 0 ? { thin } : {}),
  };
}

/** The mean of a mixed bed, weighted by their pots on the bed, with the t interval of a stratified mean; see the Go side. */
function stratifiedMean(lots: readonly LotPots[], trait: number): Estimate {
  const weights = strataWeights(lots, trait);
  const total = weights.reduce((sum, w) => sum + w, 0);
  let mean = 0;
  let variance = 0;
  let n = 0;
  let df = 0;
  let spreadKnown = true;
  for (const [i, l] of lots.entries()) {
    if (valuesOf(l, trait).length === 0) continue;
    const s = summarize(valuesOf(l, trait));
    const w = (weights[i] ?? 0) / total;
    mean += w * (s.mean ?? 0);
    n += s.n;
    df += s.n - 1;
    if (s.sd === null) {
      spreadKnown = false;
      continue;
    }
    const end = bedEnd(l.potsOnBed, s.n);
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

/** The headline's uniformity without the values that look mistyped; unknown when there are none. */
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

function toEstimate(e: Computed): Estimate {
  return { value: e.value ?? 0, interval: toInterval(e.interval), n: e.n, known: e.value !== null };
}
