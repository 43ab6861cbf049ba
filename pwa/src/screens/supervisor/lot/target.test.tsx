/** The grower's own band of head sizes on the page of a lot: where the last walk lies, in words, and the band behind the plot. */
import { cleanup, render } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { afterEach, beforeEach, expect, test } from 'vitest';
import type { GrowthTarget, GrowthWalk, LotGrowth, TargetLast } from '../../../../../schema/types';
import { speak } from '../../../words';
import { Growth } from './Growth';
import { saidGrowth, saidRows, saidTarget } from './growthWords';

beforeEach(() => speak('en'));
afterEach(cleanup);

const DAY = 86_400_000;
const pinch = Date.parse('2028-02-24T00:00:00Z');
const walk = (day: number, mm: number): GrowthWalk => ({
  walk: `w${day}`,
  bed: 'b',
  at: pinch + day * DAY,
  person_name: 'Ines',
  n: 12,
  mm,
  low: mm - 4,
  high: mm + 4,
});
const last: TargetLast = { on: '2028-03-05', day: 10, where: 'inside', low: 200, high: 260, by: 0 };
const rows = [
  { day: 5, at: pinch + 5 * DAY, low: 190, high: 230 },
  { day: 20, at: pinch + 20 * DAY, low: 220, high: 320 },
];

function growth(changes: Partial<GrowthTarget> = {}, walks = [walk(3, 180), walk(10, 230)]): LotGrowth {
  return {
    since: '2028-02-24',
    walks,
    fit: '',
    line_of: 0,
    why: 'points',
    track: [],
    grade: '',
    regulator: '',
    target: { pot_mm: 130, rows, last, ...changes },
  };
}

const said = (changes: Partial<TargetLast>) =>
  saidTarget(growth({ last: { ...last, ...changes } })).map((each) => each.replaceAll('\u202f', ' '));
const seen =
  'On the last walk (Mar 5, 2028, day 10 after the pinch or clip) the mean head was 23.0 cm (22.6 cm to 23.4 cm)';

test('the last walk is inside the band, below or above it by so much, or nobody can say', () => {
  expect(said({})).toEqual([`${seen}: inside the target band for that day, 20.0 cm to 26.0 cm.`]);
  expect(said({ where: 'below', low: 240, by: 10 })).toEqual([
    `${seen}: 1.0 cm below the target band for that day, 24.0 cm to 26.0 cm.`,
  ]);
  expect(said({ where: 'above', high: 215, by: 15 })).toEqual([
    `${seen}: 1.5 cm above the target band for that day, 20.0 cm to 21.5 cm.`,
  ]);
  expect(said({ where: 'unsure', low: 230 })[0]).toMatch(
    /^On the last walk .*23\.0 cm to 26\.0 cm; the interval reaches/,
  );
});

test('a day that the band does not have has its days, and without a band or a walk nothing is said', () => {
  expect(said({ where: 'no_band' })[0]).toContain('runs from day 5 to day 20 only');
  expect(saidTarget(growth({ rows: rows.slice(0, 1), last: { ...last, where: 'no_band' } }))[0]).toContain(
    'day 5 only',
  );
  const { target, ...without } = growth();
  expect(saidTarget(without)).toEqual([]);
  const { last: _, ...unseen } = target ?? growth().target ?? { pot_mm: 0, rows };
  expect(saidTarget({ ...growth(), target: unseen })).toEqual([]);
});

test('the band is drawn behind the walks from its first day to its last, and written under their table', () => {
  const { container } = render(<Growth growth={growth()} today="2028-03-06" />);
  const drawn = container.querySelector('.wanted');
  const corners = (drawn?.getAttribute('points') ?? '').split(' ').map((each) => each.split(',').map(Number));
  const [start, end] = [...container.querySelectorAll('.first circle')].map((mark) => Number(mark.getAttribute('cx')));
  const xs = corners.map(([x = 0]) => x);
  expect(corners).toHaveLength(4);
  // The walks are on days 3 and 10, so the band of days 5 to 20 begins between them and ends after them.
  expect(Math.min(...xs) - (start ?? 0)).toBeCloseTo((2 / 7) * ((end ?? 0) - (start ?? 0)));
  expect(Math.max(...xs) - (start ?? 0)).toBeCloseTo((17 / 7) * ((end ?? 0) - (start ?? 0)));
  const first = container.querySelector('.first');
  expect(drawn && first && drawn.compareDocumentPosition(first) & Node.DOCUMENT_POSITION_FOLLOWING).toBeTruthy();
  expect(container.textContent).toContain('Shaded behind: the target band set under Crops.');
  expect(saidRows({ pot_mm: 130, rows }).replaceAll('\u202f', ' ')).toBe(
    'Target band for 13 cm pots, by days since the last pinch or clip: day 5, 19.0 cm to 23.0 cm; day 20, 22.0 cm to 32.0 cm.',
  );
});

test('without a band the plot is of the walks alone', () => {
  const { target: _, ...without } = growth();
  const { container } = render(<Growth growth={without} today="2028-03-06" />);
  expect(container.querySelector('.wanted')).toBeNull();
  expect(container.querySelectorAll('.first circle')).toHaveLength(2);
});

test('where no grade asks a head, it is not said that there is no band while there is one', () => {
  const line = { fit: 'line', line_of: 3 };
  expect(saidGrowth({ ...growth(), ...line }, '2028-03-06').join(' ')).not.toContain('no band');
  const { target: _, ...without } = growth();
  expect(saidGrowth({ ...without, ...line }, '2028-03-06').join(' ')).toContain('no band to compare with');
});
