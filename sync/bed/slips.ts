import type { BedInput, Slip } from '../../schema/types.ts';
import { robustZ, slipLimit } from '../stats/index.ts';
import { FEWEST } from './due.ts';
import { lotsOf, TRAITS, type LotPots } from './lots.ts';

/** How many times larger or smaller than the others' median is gross while fewer than five pots show what is usual. */
const GROSSLY = 4;

/** The chance that a bed of clean, normal values has one that is offered; the rest is explained on the Go side. */
const CHANCE = 0.01;
const MISTYPED_BY = 2;
const MISTYPED_Z = 4.5;
const USUAL_Z = 2;

const UNITS = { head: [10, 0.1, 2.54, 1 / 2.54, 25.4, 1 / 25.4], buds: [10, 0.1] };

type Trait = (typeof TRAITS)[number];

/**
 * Judges a value (mm, or buds) before it is saved, against the pots of the same lot seen so far: a slip to offer for a second
 * look, or null when it looks usual or there are too few pots to know. Once the scout confirms it, it is scored like any other.
 */
export function slipOf(input: BedInput, lot: string, trait: Trait, value: number): Slip | null {
  const lots = lotsOf(input);
  const l = lots.find((one) => one.lot === lot);
  const x = [...(l?.values[trait === 'head' ? 0 : 1].x ?? []), value];
  const found = slipValues(x, trait, chanceOfSlips(lots.length)).find((s) => s.at === x.length - 1);
  return found ? { pot: '', trait, value, z: found.z, likely: found.likely } : null;
}

/** The bed's chance divided among its lots and their two traits. */
function chanceOfSlips(lots: number): number {
  return CHANCE / (2 * Math.max(1, lots));
}

/** The flagged values of one lot of so many, head sizes first; a pot that somebody has checked again is no longer offered. */
export function slipsOf(l: LotPots, lots: number): Slip[] {
  return TRAITS.flatMap((trait, i) => {
    const v = l.values[i === 0 ? 0 : 1];
    return slipValues(v.x, trait, chanceOfSlips(lots)).flatMap((s) => {
      const pot = l.pots[v.pots[s.at] ?? -1];
      if (pot === undefined || pot.checked === true) return [];
      return [{ pot: pot.id, trait, value: v.x[s.at] ?? 0, z: s.z, likely: s.likely }];
    });
  });
}

interface SlipValue {
  at: number;
  z: number;
  likely: number;
}

function slipValues(x: readonly number[], trait: Trait, chance: number): SlipValue[] {
  if (x.length < FEWEST) {
    return x.flatMap((v, at) => {
      const m = medianWithout(x, at);
      if (m === null || !(m > 0 && v > 0) || !(v >= GROSSLY * m || v * GROSSLY <= m)) return [];
      return [{ at, z: 0, likely: likely(v, trait, (c) => Math.abs(Math.log(c / m)), Math.log(1.5)) }];
    });
  }
  const z = robustZ(x);
  const limit = slipLimit(x.length, chance);
  const middle = median([...x].sort((a, b) => a - b));
  return z.flatMap((one, at) => {
    const far = one === null ? 0 : Math.abs(one);
    if (one === null || far <= Math.min(limit, MISTYPED_Z)) return [];
    const v = x[at] ?? 0;
    const gross = v >= MISTYPED_BY * middle || v * MISTYPED_BY <= middle;
    const usual = far > MISTYPED_Z && gross ? likely(v, trait, linear(x, z), USUAL_Z) : 0;
    return usual > 0 || far > limit ? [{ at, z: one, likely: usual }] : [];
  });
}

/** The robust z is linear in the value: it is extended to values that nobody measured. */
function linear(x: readonly number[], z: readonly (number | null)[]): (v: number) => number {
  let low = 0;
  let high = 0;
  const at = (i: number): number => x[i] ?? 0;
  x.forEach((v, i) => {
    if (v < at(low)) low = i;
    if (v > at(high)) high = i;
  });
  const zLow = z[low] ?? 0;
  const slope = ((z[high] ?? 0) - zLow) / (at(high) - at(low));
  return (v) => Math.abs(zLow + (v - at(low)) * slope);
}

/** The value nearest to what is usual that a wrong unit, decimal mark or order of digits would have turned into this one; 0 for none. */
function likely(v: number, trait: Trait, away: (v: number) => number, limit: number): number {
  let best = 0;
  let least = limit;
  // Bud counts vary so much that swapped digits would explain many true ones.
  const turned = trait === 'head' ? swapped(v) : [];
  for (const c of [...UNITS[trait].map((unit) => v * unit), ...turned]) {
    const d = away(c);
    if (d < least) {
      best = c;
      least = d;
    }
  }
  return best;
}

/** The whole numbers that become this one when two neighbouring digits are swapped. */
function swapped(v: number): number[] {
  const all: number[] = [];
  if (v !== Math.trunc(v) || v < 10 || v >= 1e6) return all;
  for (let at = 1; at * 10 <= v; at *= 10) {
    const low = Math.floor(v / at) % 10;
    const high = Math.floor(v / (at * 10)) % 10;
    if (low !== high && (low > 0 || at * 100 <= v)) all.push(v + (low - high) * 9 * at);
  }
  return all;
}

function medianWithout(x: readonly number[], skip: number): number | null {
  const rest = x.filter((_, i) => i !== skip).sort((a, b) => a - b);
  return rest.length > 0 ? median(rest) : null;
}

function median(sorted: readonly number[]): number {
  const half = sorted.length >> 1;
  const high = sorted[half] ?? 0;
  return sorted.length % 2 === 1 ? high : ((sorted[half - 1] ?? high) + high) / 2;
}
