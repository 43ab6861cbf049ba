import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { cuttingsFor, through } from './yields.ts';

interface Case {
  id: string;
  computation: string;
  inputs: { struck: number; steps: { share: number; plants_each?: number }[] };
  expected: { after: number[] };
}

const cases = (JSON.parse(readFileSync('fixtures/checks/plan/rooting.json', 'utf8')) as Case[]).filter(
  ({ computation }) => computation === 'yield-chain',
);

// Arithmetic by hand; the way back ends at the cuttings that it began with.
test.each(cases)('$id', ({ inputs, expected }) => {
  const stages = inputs.steps.map(({ share, plants_each: plantsEach }) => ({ share, plantsEach }));
  const after = through(inputs.struck, 1, stages);
  expect(after).toHaveLength(expected.after.length);
  expected.after.forEach((want, i) => expect(after[i]).toBeCloseTo(want, 6));
  expect(cuttingsFor(after.at(-1) ?? NaN, stages)).toBeCloseTo(inputs.struck, 6);
});

test('plants that are in their pots already are not put together again', () => {
  expect(cases.length).toBeGreaterThan(0);
  // 100 pots of three: by hand 90 come through, and as 270 liners 135 pots of two.
  expect(through(100, 3, [{ share: 0.9 }])).toEqual([90]);
  expect(through(100, 3, [{ share: 0.9 }, { share: 1, plantsEach: 2 }])).toEqual([90, 135]);
  expect(cuttingsFor(10, [])).toBe(10);
});
