import type { BedInput, Slip } from '../../schema/types.ts';
import { robustZ, SLIP_LIMIT } from '../stats/index.ts';
import { FEWEST, lotsOf, TRAITS, type LotPots } from './lots.ts';

/** How many times larger or smaller than the others' median is gross while fewer than five pots tell what is usual. */
const GROSSLY = 4;

const UNITS = { head: [10, 0.1, 2.54, 1 / 2.54, 25.4, 1 / 25.4], buds: [10, 0.1] };

type Trait = (typeof TRAITS)[number];

/**
 * Judges a value (mm, or buds) before it is saved, against the pots of the same lot seen so far: a slip to offer for a second
 * look, or null when it looks usual or too few pots tell. Once the scout says that it is right, it is scored like any other.
 */
export function slipOf(input: BedInput, lot: string, trait: Trait, value: number): Slip | null {
  const l = lotsOf(input).find((one) => one.lot === lot);
  const x = [...(l?.values[trait === 'head' ? 0 : 1].x ?? []), value];
  const found = slipValues(x, trait).find((s) => s.at === x.length - 1);
  return found ? { pot: '', trait, value, z: found.z, likely: found.likely } : null;
}

/** The flagged values of one lot, head sizes first; a pot that somebody has looked at again is not offered any more. */
export function slipsOf(l: LotPots): Slip[] {
  return TRAITS.flatMap((trait, i) => {
    const v = l.values[i === 0 ? 0 : 1];
    return slipValues(v.x, trait).flatMap((s) => {
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

function slipValues(x: readonly number[], trait: Trait): SlipValue[] {
  if (x.length < FEWEST) {
    return x.flatMap((v, at) => {
      const m = medianWithout(x, at);
      if (m === null || !(m > 0 && v > 0) || !(v >= GROSSLY * m || v * GROSSLY <= m)) return [];
      return [{ at, z: 0, likely: likely(v, trait, (c) => Math.abs(Math.log(c / m)), Math.log(1.5)) }];
    });
  }
  const z = robustZ(x);
  return z.flatMap((one, at) => {
    if (one === null || Math.abs(one) <= SLIP_LIMIT) return [];
    return [{ at, z: one, likely: likely(x[at] ?? 0, trait, linear(x, z), SLIP_LIMIT) }];
  });
}

/** The robust z is a straight line in the value: it is continued to values that nobody took. */
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

/** The value nearest to what is usual among those that a wrong unit or decimal mark would explain, 0 when none is near. */
function likely(v: number, trait: Trait, away: (v: number) => number, limit: number): number {
  let best = 0;
  let least = limit;
  for (const unit of UNITS[trait]) {
    const d = away(v * unit);
    if (d < least) {
      best = v * unit;
      least = d;
    }
  }
  return best;
}

function medianWithout(x: readonly number[], skip: number): number | null {
  const rest = x.filter((_, i) => i !== skip).sort((a, b) => a - b);
  const half = rest.length >> 1;
  const high = rest[half];
  if (high === undefined) return null;
  return rest.length % 2 === 1 ? high : ((rest[half - 1] ?? high) + high) / 2;
}
