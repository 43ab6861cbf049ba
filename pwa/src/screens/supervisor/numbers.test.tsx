/** Numbers beside each other on the supervisor's pages must add up and be of the same thing. */
import { cleanup, render, screen } from '@testing-library/preact';
import { afterEach, expect, test } from 'vitest';
import { BedsTable } from './beds/BedsTable';
import { LotTrends } from './lot/LotTrends';
import { isDue, whyDue } from './names';
import { PromiseLines } from './PromiseLines';
import { units } from '../../words';
import { lotField } from '../../words/entry';
import * as sample from './sample.testing';

afterEach(cleanup);

test('a line of a lesser grade shows every booking that is taken off it', () => {
  const { promise } = sample.score.lots[0]!.grade_out!;
  const lines = [
    { grade: 'florist', in_grade: 14, sure: 478, kept: 463, booked: 60, safe: 403, over: 0 },
    { grade: 'nursery', in_grade: 16, sure: 604, kept: 585, booked: 1, safe: 524, over: 0 },
  ];
  const { container } = render(<PromiseLines promise={{ ...promise, lines }} note="" />);
  const rows = [...container.querySelectorAll('tbody tr')].map((row) =>
    [...row.children].map((cell) => cell.textContent),
  );
  expect(rows.map((row) => row[4])).toEqual(['60', '61']);
  expect(rows.map((row) => row[3])).toEqual(['463', '585']);
  // What is sure at shipping less what is booked is what the line says may be promised.
  expect([463 - 60, 585 - 61]).toEqual([403, 524]);
});

test('a lot’s heads and buds are drawn apart', () => {
  const { container } = render(<LotTrends view={sample.lotView} />);
  expect(container.querySelectorAll('.plot .second .mark')).not.toHaveLength(0);
  expect(screen.getByRole('img', { name: /^head size: .*; bud count: /i })).toBeTruthy();
});

test('a pot of sixteen and a half centimetres is not written as one of seventeen', () => {
  expect(lotField('pot_mm', 165)).toBe('16.5\u202fcm');
  expect(lotField('pot_mm', 110)).toBe('11\u202fcm');
});

// 4 1/4, 6 1/2 and 8 inches to the millimetre; 16.5 cm is 6.496 in and so 6 1/2, 11 cm is 4.33 in and no quarter (by hand, 1 in = 25.4 mm).
test.each([
  [108, '4¼'],
  [165, '6½'],
  [203, '8'],
  [19, '¾'],
  [110, '4.3'],
])('in inches a pot of %d mm is one of %s', (mm, said) => {
  units.value = { ...units.value, length: 'in' };
  expect(lotField('pot_mm', mm)).toBe(`${said}\u202fin`);
  units.value = { ...units.value, length: 'cm' };
});

// As on a phone: nobody may be sent to a bed that is closed.
test('a closed bed is not due, and its row says when it opens instead', () => {
  const [house] = sample.bedsView.houses;
  const late = house!.beds.find((bed) => bed.due === 'days')!;
  const closed = { ...late, closed_until: Date.now() + 3_600_000 };
  expect([isDue(late), isDue(closed), whyDue(closed)]).toEqual([true, false, '']);
  render(<BedsTable houses={[{ ...house!, beds: [closed] }]} shown={new Set([closed.id])} />);
  expect(screen.getAllByRole('row')[1]!.lastElementChild!.textContent).toMatch(/^closed until /);
});
