import { expect, test } from 'vitest';
import type { RightLot, RightSaid } from '../../../../../schema/types';
import { saidCount, saidInTime, saidLate, saidReady, saidShares, saidSure } from './rightWords';

const said: RightSaid = {
  weeks: 4,
  on: '2026-07-02',
  problem: '',
  ready05: '2026-07-06',
  ready50: '2026-07-22',
  ready95: '2026-08-10',
  ship_week: '2026-W34',
  chance: 0.72,
  inside: true,
  late_days: 8,
  in_time: true,
  basis: 'walk',
  shares: [{ grade: 'florist', share: 0.9, low: 0.8, high: 1 }],
  sure: 42,
  shipped: 25,
  held: false,
};
const lot: RightLot = {
  lot: 'x',
  tag: 'T-1',
  crop: 'azalea',
  cultivar: '',
  pot_mm: 130,
  left_on: '2026-07-30',
  shipped: 25,
  walk: { on: '2026-07-20', grades: ['florist'], in: [9], seen: 12 },
  said: [said],
};

test('what was said stands beside what happened', () => {
  expect(saidReady(said)).toMatch(/22.*\(.*6.*to.*10/);
  expect(saidInTime(said)).toEqual([expect.stringContaining('7 in 10'), 'made it']);
  expect(saidSure(said)).toEqual(['42 pots sure, 25 shipped by then', 'missed it']);
  expect(saidShares(lot, said)).toEqual([expect.stringContaining('9 of 12 on the last walk')]);
});

test('nothing is said where nothing was known', () => {
  const none: RightSaid = {
    weeks: 12,
    on: '2026-05-07',
    problem: 'not_written',
    ready05: '',
    ready50: '',
    ready95: '',
    ship_week: '',
    basis: '',
    shares: [],
    shipped: 0,
  };
  expect(saidReady(none)).toBe('nobody had written the lot down');
  expect([saidInTime(none), saidSure(none), saidShares(lot, none)]).toEqual([[], [], []]);
  expect(saidReady({ ...said, ready95: '' })).toContain('no end known');
  // Pots that went on as another lot are no broken word.
  const { held, ...moved } = said;
  expect(held).toBe(false);
  expect(saidSure({ ...moved, moved: true }).join(' ')).toContain('not compared');
  expect(saidCount({ count: 0, n: 0, low: 0, high: 0 })).toBe('nothing to compare');
});

test('a median of an even number of lots may be half a day', () => {
  expect([saidLate(0), saidLate(1), saidLate(-2), saidLate(2.5)]).toEqual([
    'on time',
    '1 day late',
    '2 days early',
    '2.5 days late',
  ]);
});
