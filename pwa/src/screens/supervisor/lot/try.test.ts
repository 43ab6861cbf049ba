import { beforeEach, expect, test } from 'vitest';
import type { SupplyWeek, TryView } from '../../../../../schema/types';
import { speak } from '../../../words';
import { cropPlan } from '../sample-plan.testing';
import { triedLines } from './tryWords';

beforeEach(() => speak('en'));

function week(name: string, safe: number, changes: Partial<SupplyWeek> = {}): SupplyWeek {
  const numbers = { expected: 0, median: 0, low: 0, high: 0, sure: 0, lots_alone: 0, booked: 0, short: 0 };
  const lot = {
    lot: 'a',
    tag: 'AZ-1',
    cultivar: '',
    pots: 1,
    basis: 'walk',
    seen: 9,
    whole: 9,
    on: '',
    earlier: 0,
    ready: 1,
    safe_week: '',
    survive: 1,
    own_loss: true,
    sure: [],
  };
  return {
    week: name,
    by: '',
    crop: 'azalea',
    pot_mm: 165,
    season: 0.35,
    grades: [{ ...numbers, grade: 'florist', safe }],
    lots: [lot],
    bookings: [],
    missing: 0,
    undecided: 0,
    ...changes,
  };
}

test('a lot that was tried for another week is set beside what stands, with both weeks', () => {
  const view: TryView = {
    today: '2026-11-25',
    lots: [{ lot: 'a', now: cropPlan({ chance: 0.07 }), tried: cropPlan({ chance: 0.97 }) }],
    now: [week('2026-W53', 400, { missing: 30 })],
    tried: [week('2026-W53', 120, { missing: 150 }), week('2027-W10', 280)],
  };
  const lines = triedLines(view);
  const line = (what: string) => lines.find((each) => each.what.includes(what));
  expect(line('Ready in time')).toMatchObject({ now: 'under 1 in 10', tried: 'over 9 in 10' });
  expect(line('Latest day: into the cooler')?.now).toMatch(/16/);
  expect(lines.filter(({ what }) => what.includes('safe to promise')).map(({ now, tried }) => [now, tried])).toEqual([
    ['400', '120'],
    ['0', '280'],
  ]);
  expect(line('cannot be met')).toMatchObject({ now: '30', tried: '150' });
  expect(line('not known yet')).toBeUndefined();
});
