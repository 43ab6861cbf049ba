import { describe, expect, it } from 'vitest';
import { defaultJudged } from '../../../../../schema/kinds';
import type { BedInput, Place } from '../../../../../schema/types';
import { makePlan, scoreBed } from '../../../../../sync/bed/bed';
import { evenly, restOf } from './rest';

const lot = (name: string, from_row: number, to_row: number) => ({
  lot: name,
  from_row,
  to_row,
  pots_on_bed: (to_row - from_row + 1) * 10,
  pot_mm: 150,
  judged: defaultJudged,
});
const bed = (lots = [lot('a', 1, 100)]): BedInput => ({
  bed: 'b',
  rows: 100,
  across: 10,
  length_mm: 20_000,
  entry_end: 'door',
  far_end: 'fan',
  aisles: 'both',
  lots,
  pots: [],
});

/** Pots noted at these places; i is which of them it is. */
function noted(input: BedInput, places: readonly Place[], head: (i: number) => number): BedInput {
  const pots = places.map((place, i) => ({
    id: `p${String(i).padStart(3, '0')}`,
    person: 'p',
    at: i,
    now: { walk: 'w', bed: 'b', lot: lotAt(input, place.row), place, head_a_mm: head(i), buds: 40 + (i % 2) },
  }));
  return { ...input, pots };
}

function lotAt({ lots }: BedInput, row: number): string {
  return lots.find(({ from_row, to_row }) => from_row <= row && row <= to_row)?.lot ?? '';
}

/** Heads of a bed so even that few pots are needed. */
const alike = (i: number) => 300 + (i % 3);

/** What is still asked for, of a plan, when these of its places are noted. */
function left(input: BedInput, plan: readonly Place[], places: readonly Place[], head = alike) {
  const now = noted(input, places, head);
  const score = scoreBed(now);
  const open = plan.filter((place) => !places.includes(place));
  return { rest: restOf(now, score, plan, open), stop: score.stop };
}

describe('a walk that is sure before the bed ends', () => {
  const input = bed();
  const plan = makePlan(input, 7, 32).places;

  it('continues along the plan until the least number of pots is seen', () => {
    expect(left(input, plan, plan.slice(0, 7)).rest).toEqual(plan.slice(7));
  });

  it('then asks for fewer, but for some all along what is not walked', () => {
    const { rest, stop } = left(input, plan, plan.slice(0, 12));
    expect(stop.verdict).toBe('enough');
    expect(rest.length).toBeGreaterThan(2);
    expect(rest.length).toBeLessThan(10);
    const rows = rest.map(({ row }) => row);
    const last = plan[11]?.row ?? 0;
    // The widest step from pot to pot is no wider than two of the least number's strata.
    const steps = [...rows, 100].map((row, i) => row - (rows[i - 1] ?? last));
    expect(Math.max(...steps)).toBeLessThanOrEqual((2 * 100) / defaultJudged.min_pots);
  });

  it('only leaves places out as pots are noted, and ends', () => {
    let taken = plan.slice(0, 12);
    let { rest } = left(input, plan, taken);
    while (rest.length > 0) {
      const [next, ...others] = rest;
      taken = [...taken, next!];
      rest = left(input, plan, taken).rest;
      expect(rest).toEqual(others);
    }
    expect(taken.length).toBeLessThan(24);
  });

  it('looks at every lot, however thin', () => {
    const two = bed([lot('a', 1, 85), lot('b', 86, 100)]);
    const places = makePlan(two, 3, 32).places;
    const { rest, stop } = left(two, places, places.slice(0, 16));
    expect(stop.verdict).toBe('enough');
    expect(rest.filter(({ row }) => row >= 86).length).toBeGreaterThanOrEqual(3);
  });
});

it('asks for as many as the certainty wants where the pots differ', () => {
  const input = bed();
  const plan = makePlan(input, 7, 32).places;
  const { rest, stop } = left(input, plan, plan.slice(0, 12), (i) => 240 + 12 * i);
  expect(stop.verdict).toBe('more');
  expect(rest.length).toBe(Math.min(stop.more, 20));
});

// Van der Corput's sequence in base 2 begins 0, 1/2, 1/4, 3/4, 1/8, 5/8, 3/8, 7/8 (Niederreiter 1992, ch. 3; from memory).
it('numbers are taken in van der Corput’s order', () => {
  expect(evenly(8)).toEqual([0, 4, 2, 6, 1, 5, 3, 7]);
  expect(evenly(5)).toEqual([0, 4, 2, 1, 3]);
  expect(evenly(1)).toEqual([0]);
  expect(evenly(0)).toEqual([]);
});
