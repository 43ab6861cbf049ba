import { expect, test } from 'vitest';
import { defaultJudged } from '../../../../../schema/kinds';
import type { BedInput, PotSeen } from '../../../../../schema/types';
import { scoreBed } from '../../../../../sync/bed/bed';
import { slipAmong, slipsToCheck } from './doubts';

const lot = 'a';
const pot = (id: string, head_a_mm: number, checked?: boolean): PotSeen =>
  ({ id, person: 'ana', at: 0, now: { walk: 'w', bed: 'b', lot, head_a_mm }, ...(checked && { checked }) }) as PotSeen;
const bed = (pots: PotSeen[]): BedInput => ({
  bed: 'b',
  rows: 60,
  across: 10,
  length_mm: 20_000,
  entry_end: '',
  far_end: '',
  aisles: 'both',
  lots: [{ lot, from_row: 1, to_row: 60, pots_on_bed: 600, pot_mm: 150, judged: defaultJudged }],
  pots,
});
const before = [203, 207, 198, 210, 201, 205, 199, 206].map((head, i) => pot(`before${i}`, head));

// Heads of about 8 in, and one that was typed as 11: 279 mm.
test('what was doubted among the first pots of a walk is there to be checked at its end, with its trait', () => {
  const seen = { input: bed([pot('1', 204), pot('2', 279), pot('3', 200)]), before };
  expect(slipAmong(seen, '2', lot, 'head', 279)).toMatchObject({ trait: 'head' });
  expect(slipsToCheck(seen, scoreBed(seen.input))).toMatchObject([{ pot: '2', trait: 'head', value: 279 }]);
});

test('not what was looked at again, and not where nothing tells what is usual', () => {
  const checked = { input: bed([pot('1', 204), pot('2', 279, true), pot('3', 200)]), before };
  expect(slipsToCheck(checked, scoreBed(checked.input))).toEqual([]);
  const alone = { input: bed([pot('1', 204)]), before: [] };
  expect(slipsToCheck(alone, scoreBed(alone.input))).toEqual([]);
});

test('with pots enough the score alone says what to check, once each', () => {
  const usual = [203, 207, 198, 210, 201, 205, 199, 206, 204].map((head, i) => pot(`${i}`, head));
  const seen = { input: bed([...usual, pot('x', 20)]), before };
  expect(slipsToCheck(seen, scoreBed(seen.input))).toMatchObject([{ pot: 'x', trait: 'head' }]);
});
