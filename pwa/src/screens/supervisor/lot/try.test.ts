import { beforeEach, expect, test } from 'vitest';
import type { SupplyWeek, TryView } from '../../../../../schema/types';
import { speak } from '../../../words';
import { cropPlan } from '../sample-plan.testing';
import { triedLines, whyNoneSafe } from './tryWords';

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
  expect(line('not sure')).toMatchObject({ now: '30', tried: '150' });
  expect(line('not known yet')).toBeUndefined();
});

test('a week in which nothing is safe says why, lot by lot', () => {
  const none = (changes: Partial<SupplyWeek['lots'][number]>, sure = 0) => {
    const one = week('2026-W53', 0);
    const tried = { ...one, grades: [{ ...one.grades[0]!, sure }], lots: [{ ...one.lots[0]!, ...changes }] };
    return whyNoneSafe({ today: '2026-11-25', lots: [], now: [], tried: [tried] }).map((said) =>
      said.slice(said.indexOf('cm. ') + 4),
    );
  };
  expect(none({ ready: 0.4, safe_week: '2027-W03' })[0]).toMatch(
    /^AZ-1.*: Under 19 in 20 to be ready.* Safe from week 3, 2027 on\.$/,
  );
  expect(none({ basis: 'unknown' })[0]).toContain('no finished walk since it may be graded');
  expect(none({}, 120)).toEqual(['Bookings take all 120 pots that are sure.']);
  expect(none({})).toEqual(['Of the lots that will be ready, no pot is sure to make a grade.']);
  expect(whyNoneSafe({ today: '', lots: [], now: [], tried: [week('2026-W53', 40)] })).toEqual([]);
});
