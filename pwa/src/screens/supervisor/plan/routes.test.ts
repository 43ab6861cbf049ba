import { beforeEach, expect, test } from 'vitest';
import type { RouteLot, RouteSums, StageCost } from '../../../../../schema/types';
import { speak } from '../../../words';
import { changedCosts, changedGrades } from './MoneyEdit';
import {
  answerOf,
  lineOf,
  linesOf,
  moneyIn,
  saidBasis,
  saidByBench,
  saidByPot,
  saidCosts,
  saidEven,
} from './routesWords';

beforeEach(() => speak('en'));

const sums = (changes: Partial<RouteSums> = {}): RouteSums => ({
  ready: '2027-02-24',
  weeks: 12.1,
  loss: 0.03,
  own_loss: true,
  sales_c: 563.57,
  labour_c: 60,
  material_c: 150,
  space_c: 100,
  margin_c: 253.57,
  bench_c: 368.83,
  missing: [],
  ...changes,
});

// The numbers of fixtures/checks/plan/routes.json.
function lot(changes: Partial<RouteLot> = {}): RouteLot {
  const share = { x: 21, n: 30, value: 0.7, known: true, interval: { low: 0.52, high: 0.83, known: true } };
  return {
    lot: 'a',
    tag: 'AZ-1',
    crop: 'azalea',
    cultivar: 'Mothwick',
    pot_mm: 165,
    pots: 400,
    ship_week: '2026-W53',
    route: '',
    problem: '',
    basis: 'walk',
    seen: 30,
    whole: 30,
    on: '2026-11-21',
    earlier: 0,
    grades: [
      { grade: 'florist', share: 0.7, seen: share, price_c: 650 },
      { grade: 'nursery', share: 0.3, seen: { ...share, x: 9 }, price_c: 420 },
    ],
    florist: sums(),
    nursery: sums({ ready: '2026-11-29', weeks: 6, margin_c: 166.6, bench_c: 444.27 }),
    break_even_price_c: 521.91,
    break_even_share: 0.31,
    chance: 0.97,
    wait_c: 278.3,
    ...changes,
  };
}

const money = moneyIn('USD');

test('both answers stand side by side, and it is said that they disagree', () => {
  expect(saidByPot(lot(), money)).toBe('By the pot: the florist route leaves $0.87 more.');
  expect(saidByBench(lot(), money)).toEqual([
    expect.stringContaining('the nursery route leaves $0.75 more'),
    expect.stringContaining('disagree'),
    expect.stringContaining('$2.78'),
  ]);
  const agree = saidByBench(lot({ nursery: sums({ margin_c: 166.6, bench_c: 300 }) }), money);
  expect(agree.join(' ')).not.toContain('disagree');
});

test('a lot is in a line what differs, and stands with the lots of which the same route leaves more', () => {
  expect(lineOf(lot(), '2026-11-29', money)).toEqual({
    pot: 'florist +$0.87',
    bench: 'nursery +$0.75',
    chance: 'over 9 in 10',
    ready: 'florist Feb 24, 2027, nursery now',
    isPart: false,
  });
  expect(answerOf(lot())).toBe('disagree');
  expect(answerOf(lot({ nursery: sums({ margin_c: 166.6, bench_c: 300 }) }))).toBe('florist');
  expect(answerOf(lot({ nursery: sums({ margin_c: 300, bench_c: 444 }) }))).toBe('nursery');
  expect(answerOf(lot({ nursery: sums() }))).toBe('same');
  const { bench_c: _bench, ...noBench } = sums({ margin_c: 300, weeks: 0 });
  const over = lot({ florist: { ...noBench, margin_c: 310 }, nursery: noBench });
  expect(answerOf(over)).toBe('florist');
  // One route is over and the other takes up bench: what counts is what waiting brings.
  expect(lineOf(over, '', money).bench).toBe('waiting brings $2.78');
  const { wait_c: _wait, ...noWait } = over;
  expect(lineOf(noWait, '', money).bench).toBe('no bench time ahead');
  const { margin_c: _margin, ...noPrice } = noBench;
  expect(answerOf(lot({ florist: noPrice }))).toBe('unknown');
  expect(lineOf(lot({ florist: noPrice }), '', money).pot).toBe('not known yet');
});

test('a missing price is asked, with what it would have to be; nothing is said to be better', () => {
  const { wait_c: _wait, chance: _chance, break_even_share: _share, ...rest } = lot();
  const { margin_c: _margin, sales_c: _sales, bench_c: _bench, ...florist } = sums();
  const asked: RouteLot = {
    ...rest,
    grades: [
      { grade: 'florist', share: 0.7, needed_c: 521.91 },
      { grade: 'nursery', share: 0.3, price_c: 420 },
    ],
    florist,
  };
  expect(saidEven(asked, money)).toEqual([
    'Nobody wrote what a florist pot sells for.',
    'Both routes leave the same if a florist pot sells for $5.22.',
  ]);
  expect(saidByBench(asked, money)).toEqual([]);
  const lines = linesOf(asked, '2026-11-29', money);
  expect(lines.find(({ key }) => key === 'margin')).toMatchObject({ florist: 'not known yet', nursery: '$1.67' });
  expect(lines.find(({ key }) => key === 'bench')).toMatchObject({ florist: 'not known yet' });
});

test('a cost that nobody wrote is named, and is not nothing', () => {
  const missing = [
    { stage: 'cold', what: 'labour' },
    { stage: '', what: 'space' },
  ];
  const partly = lot({ florist: sums({ labour_c: 0, missing }) });
  expect(saidCosts(partly, money)[0]).toContain('what the bench costs');
  expect(saidCosts(partly, money)[1]).toContain('$0.87');
  const lines = linesOf(partly, '2026-11-29', money);
  expect(lines.find(({ key }) => key === 'labour')?.florist).toBe('not known yet');
  expect(lines.find(({ key }) => key === 'margin')?.florist).toContain('as far as written');
  expect(saidCosts(lot(), money)).toEqual([]);
});

test('what the shares rest on has its count, its interval and its day, or says that no pot was graded', () => {
  expect(saidBasis(lot())).toMatch(/^30 pots graded, walk of Nov 21, 2026: florist 21 \(52.% to 83.%\) and nursery 9/);
  expect(saidBasis(lot({ basis: 'earlier', earlier: 5 }))).toContain('5 lots that shipped before');
});

test('one route better whatever the share is said so, without a share', () => {
  const said = saidEven(lot({ break_even_share: -0.2, chance: 1 }), money).join(' ');
  expect(said).toContain('Whatever the share of florist, the florist route leaves more.');
  expect(said).not.toContain('Chance');
});

test('without a currency sums are bare numbers, and what rounds to nothing has no sign', () => {
  expect(moneyIn('')(-0.4)).toBe('0.00');
  expect(moneyIn('')(123456)).toBe('1,234.56');
});

test('only what was changed is written, and a cost of a stage that the crop lost is kept', () => {
  const grades = [{ name: 'florist', pot_mm: 165, price_c: 650 }];
  const same = [{ grade: grades[0]!, answer: { value: 650 } }];
  expect(changedGrades(grades, same)).toEqual({});
  expect(changedGrades(grades, [{ grade: grades[0]!, answer: {} }])).toEqual({
    grades: [{ name: 'florist', pot_mm: 165 }],
  });
  const costs: StageCost[] = [
    { stage: 'cold', labour_s: 20 },
    { stage: 'liner', material_c: 4 },
  ];
  const cold = (value: number | undefined) => [
    { stage: 'cold' as const, fields: [{ field: 'labour_s' as const, answer: value === undefined ? {} : { value } }] },
  ];
  expect(changedCosts(costs, ['cold'], cold(20))).toEqual({});
  expect(changedCosts(costs, ['cold'], cold(0))).toEqual({
    costs: [{ stage: 'cold', labour_s: 0 }, costs[1]],
  });
  expect(changedCosts(costs, ['cold'], cold(undefined))).toEqual({ costs: [costs[1]] });
});
