import { beforeEach, expect, test } from 'vitest';
import type { LotGrowth } from '../../../../../schema/types';
import { speak } from '../../../words';
import { saidGrowth } from './growthWords';

beforeEach(() => speak('en'));

const growth: LotGrowth = {
  since: '2026-05-01',
  walks: [],
  fit: 'line',
  line_of: 4,
  why: 'points',
  track: [],
  grade: 'florist',
  low: { mm: 250, early: '2026-05-20', likely: '2026-05-24', late: '2026-05-30' },
  high: { mm: 330, early: '2026-06-09', likely: '2026-06-14', late: '2026-06-21' },
  regulator: '',
};
const plain = (said: string[]) => said.map((each) => each.replace(/\u202f/g, ' '));

test('a line says that it is too early for a curve, and why; the window of the regulator names no product', () => {
  const said = plain(saidGrowth(growth, '2026-06-01'));
  expect(said[0]).toContain('Too early for a curve (fewer than 5 walks): a straight line through the last 4 walks');
  expect(said).toContain('By the fit the mean head reached 25.0 cm by May 30, 2026.');
  expect(said).toContain('At this pace it passes the band (33.0 cm) between Jun 9, 2026 and Jun 21, 2026.');
  expect(said.at(-1)).toContain('The label decides.');
});

test('where walks are enough and no curve fits, it is not called too early', () => {
  const [first] = plain(saidGrowth({ ...growth, line_of: 6, why: 'fit' }, '2026-06-01'));
  expect(first).toContain('No curve (no growth curve fits these walks): a straight line through the last 6 walks');
});

test('a size that is not reached has no day, and one that may not be reached has no latest', () => {
  const never = { mm: 330, early: '', likely: '', late: '' };
  expect(plain(saidGrowth({ ...growth, high: never }, '2026-06-01'))).toContain(
    'At this pace the mean head does not reach 33.0 cm.',
  );
  const open = { mm: 330, early: '2026-06-09', likely: '', late: '' };
  expect(saidGrowth({ ...growth, high: open }, '2026-06-01').join(' ')).toContain('on Jun 9, 2026 at the earliest');
});

test('a band without a largest head is never passed, so no window of the regulator is named', () => {
  const { high: _, ...open } = growth;
  const said = saidGrowth(open, '2026-06-01').join(' ');
  expect(said).toContain('heads of 25.0');
  expect(said).not.toContain('passes the band');
});

test('after the regulator its window is not spoken of any more', () => {
  const said = saidGrowth({ ...growth, regulator: '2026-06-02' }, '2026-06-05').join(' ');
  expect(said).not.toContain('usual window');
  expect(said).toContain('went on Jun 2, 2026');
});

test('without enough walks there is no pace', () => {
  expect(saidGrowth({ ...growth, fit: '', line_of: 0 }, '2026-06-01')).toEqual([
    'At least 3 walks are needed to say how fast it grows.',
  ]);
});
