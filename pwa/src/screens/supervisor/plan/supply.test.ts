import { beforeEach, expect, test } from 'vitest';
import type { SupplyBooking, SupplyLot, SupplyWeek } from '../../../../../schema/types';
import { speak } from '../../../words';
import {
  bookedUpTo,
  riskOf,
  saidBooked,
  saidBooking,
  saidClosed,
  saidCultivar,
  saidLot,
  saidSafe,
  saidShort,
  saidSure,
  worstShort,
} from './supplyWords';

beforeEach(() => speak('en'));

function lot(changes: Partial<SupplyLot> = {}): SupplyLot {
  return {
    lot: 'a',
    tag: 'AZ-116',
    cultivar: 'Mothwick',
    pots: 512,
    basis: 'walk',
    seen: 11,
    whole: 10,
    on: '2026-11-21',
    scouts: ['Sunna', 'Sunna'],
    earlier: 0,
    ready: 0.97,
    safe_week: '2026-W50',
    survive: 0.98,
    own_loss: true,
    sure: [166, 285],
    ...changes,
  };
}

function week(changes: Partial<SupplyWeek> = {}): SupplyWeek {
  const grade = {
    expected: 300,
    median: 310,
    low: 201,
    high: 541,
    sure: 201,
    lots_alone: 171,
    booked: 203,
    safe: 0,
    short: 0.46,
  };
  return {
    week: '2026-W53',
    by: '2026-12-28',
    crop: 'azalea',
    pot_mm: 140,
    season: 0.35,
    grades: [
      { ...grade, grade: 'florist' },
      { ...grade, grade: 'nursery', booked: 30, short: 0.02 },
    ],
    lots: [lot()],
    bookings: [],
    missing: 0,
    undecided: 0,
    ...changes,
  };
}

const unknown = lot({ basis: 'unknown' });
const short = (changes: Partial<SupplyWeek>, grade = 0) => {
  const of = week(changes);
  const asked = of.grades[grade];
  if (!asked) throw new Error('no such grade');
  return saidShort(of, asked);
};

test('a chance of too few is an upper limit while a lot is not known, and not known while none is', () => {
  expect(short({})).toBe('5 in 10');
  expect(short({ lots: [lot(), unknown] })).toBe('at most 5 in 10');
  expect(short({ lots: [unknown] })).toBe('not known yet');
  expect(short({ grades: week().grades.map((each) => ({ ...each, booked: 0 })) }, 1)).toBe('');
});

test('a better grade’s bookings take from the lesser grade’s pots too', () => {
  const { grades } = week();
  expect(grades.map((each) => bookedUpTo(grades, each))).toEqual([203, 233]);
});

test('what is booked in a week’s line is of all grades, and says how much is of the best', () => {
  const booking = {
    id: 'b',
    lot: '',
    tag: '',
    buyer: 'Oxbow',
    missing: 0,
    why: '',
    other_week: '',
    short: 0,
    elsewhere: 0,
  };
  const said = (florist: number, nursery: number) => {
    const grades = week().grades.map((each, k) => ({ ...each, booked: k === 0 ? florist : nursery }));
    const bookings = [
      { ...booking, grade: 'florist', open: florist },
      { ...booking, grade: 'nursery', open: nursery },
    ];
    return saidBooked(week({ grades, bookings }));
  };
  expect(said(203, 30)).toBe('233, of them 203 florist');
  expect(said(203, 0)).toBe('203 florist');
  expect(said(0, 30)).toBe('30 nursery');
  expect(said(0, 0)).toBe('0');
  expect(saidBooked(week({ grades: [], bookings: [{ ...booking, grade: 'florist', open: 8 }] }))).toBe('8');
});

test('what is sure before bookings, and lot by lot where that is less', () => {
  expect(saidSure(week().grades)).toEqual([
    'florist: 201 sure before bookings, 300 on average. Promised lot by lot it would be 171.',
    'nursery or better: 201 sure before bookings, 300 on average. Promised lot by lot it would be 171.',
  ]);
  const [florist] = week().grades;
  expect(saidSure(florist ? [{ ...florist, lots_alone: 201 }] : [])).toEqual([
    'florist: 201 sure before bookings, 300 on average.',
  ]);
});

test('a lot says what it rests on, and what it is sure to have by itself', () => {
  const said = saidLot(lot(), week().grades).join(' ');
  expect(said).toContain('10 of 11 pots seen could be graded, 512 pots on record');
  expect(said).toMatch(/walk of .*21.*, Sunna\./);
  expect(saidLot(lot({ survive: 0.9998 }), week().grades).join(' ')).toMatch(/99\.9\s?% of its pots left/);
  expect(said).toContain('Sure by itself: 166 florist and 285 nursery or better.');
});

test('a lot that may be late is good for nothing by itself, and from when it is safe', () => {
  expect(saidLot(lot({ ready: 0.9 }), week().grades).join(' ')).toMatch(/good for nothing here\. Safe from .*50/);
  expect(saidLot(unknown, week().grades)).toEqual([
    'Not known yet: no finished walk since it may be graded, or too few pots graded in it. Counted as none.',
  ]);
});

test('a booking says what of it cannot be met, and why', () => {
  const booking: SupplyBooking = {
    id: 'b',
    lot: 'a',
    tag: 'AZ-116',
    buyer: 'Oxbow',
    grade: 'florist',
    open: 203,
    missing: 198,
    why: 'few',
    other_week: '',
    short: 0.97,
    elsewhere: 166,
  };
  expect(saidBooking(booking)).toEqual([
    'Oxbow: 203 pots, florist, from AZ-116.',
    '198 pots not sure. Chance that it cannot be met in full: over 9 in 10. 166 pots more can be met if any lot of this week may serve it.',
  ]);
  expect(saidBooking({ ...booking, elsewhere: 0 })[1]).not.toContain('any lot');
  expect(saidBooking({ ...booking, why: 'unknown' })[1]).not.toContain('Chance');
  expect(saidBooking({ ...booking, missing: 0, why: '' })[1]).toBe('Can be met.');
  expect(saidBooking({ ...booking, why: 'week', other_week: '-' })[1]).toContain('The lot has no ship week.');
});

test('a booking that names no lot says what it takes from, and a cultivar and a lot what may still be promised of them', () => {
  const wide = {
    id: 'w',
    lot: '',
    tag: '',
    crop: 'azalea',
    pot_mm: 140,
    buyer: 'Oxbow',
    grade: 'florist',
    open: 450,
    missing: 236,
    why: 'few',
    other_week: '',
    short: 0.97,
    elsewhere: 0,
  };
  expect(saidBooking(wide)).toEqual([
    'Oxbow: 450 pots, florist, from any lot of azalea, 14\u202fcm.',
    '236 pots not sure. Chance that it cannot be met in full: over 9 in 10.',
  ]);
  expect(saidBooking({ ...wide, cultivar: 'Mothwick' })[0]).toContain('from any lot of Mothwick, 14');
  expect(saidBooking({ ...wide, why: 'none' })[1]).toContain('no lot of this week is of that kind');
  expect(saidBooking({ ...wide, crop: '', pot_mm: 0 })[0]).toContain('from no lot named.');
  const { grades } = week();
  expect(saidCultivar({ cultivar: 'Mothwick', sure: [201, 600], safe: [0, 397] }, grades)).toBe(
    'Mothwick. May still be promised: 0 florist and 397 nursery or better. Sure before bookings: 201 florist and 600 nursery or better.',
  );
  const said = saidLot(lot({ safe: [10, 20], leans: [30, 5] }), grades);
  expect(said).toContain('May still be promised of it: 10 florist and 20 nursery or better.');
  expect(said).toContain('Bookings that name no lot need 35 pots of it.');
});

test('the line of a week says what is safe by grade, and the greatest chance of too few', () => {
  const safe = (best: number, all: number) =>
    saidSafe(week().grades.map((grade, k) => ({ ...grade, safe: k === 0 ? best : all })));
  expect([safe(0, 0), safe(40, 40), safe(0, 70), safe(40, 70)]).toEqual([
    '0',
    '40 florist',
    '70 nursery or better',
    '70, of them 40 florist',
  ]);
  expect(saidSafe([])).toBe('');
  expect(worstShort(week())).toBe(short({}, 0));
  expect(worstShort(week({ grades: week().grades.map((grade) => ({ ...grade, booked: 0 })) }))).toBe('');
});

test('a booking that gives way to an earlier one says so, and a closed one says its week', () => {
  const booking = { id: 'b', lot: 'a', tag: 'AZ-116', buyer: 'Oxbow', grade: 'florist', open: 100, missing: 100 };
  const [, outcome] = saidBooking({ ...booking, why: 'earlier', short: 0.12, elsewhere: 0, other_week: '' });
  expect(outcome).toBe(
    '100 pots not sure: bookings entered before it may need them. Chance that it cannot be met in full: 1 in 10.',
  );
  const closed = { id: 'c', buyer: 'Ferry', crop: 'azalea', cultivar: '', pot_mm: 130, grade: 'florist' };
  expect(saidClosed({ ...closed, week: '2026-W40', pots: 15, shipped: 15, cancelled: false })).toMatch(
    /^week 40, 2026: Ferry: 15 pots, florist, from any lot of azalea, 13\scm\.$/,
  );
});

test('a week is overbooked only where that is certain or nearly so', () => {
  const risk = (short?: number) => riskOf(week({ missing: 10, ...(short === undefined ? {} : { short }) }));
  expect(risk()).toBeUndefined();
  expect(risk(0.1)).toBe('may');
  expect(risk(0.5)).toBe('likely');
  expect(risk(0.96)).toBe('over');
  // No lot of the week is of its kind: nothing is left to chance.
  expect(risk(1)).toBe('over');
});
