import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { betaQuantile } from '../stats/components.ts';
import { countedDiffer, cuttingsFor, through, throughWithin, writtenDiffer } from './yields.ts';

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

// Closed forms: of Beta(a, 1) the p point is p^(1/a), of Beta(1, b) it is 1 - (1-p)^(1/b).
test('points of the beta distribution, of numbers that are neither whole nor half too', () => {
  for (const chance of [0.05, 0.5, 0.95]) {
    for (const a of [0.7, 3.7, 41, 163.2]) {
      expect(betaQuantile(chance, a, 1)).toBeCloseTo(chance ** (1 / a), 12);
      expect(betaQuantile(chance, 1, a)).toBeCloseTo(1 - (1 - chance) ** (1 / a), 12);
    }
  }
});

// The limits beside those that sync/supply gives for the same shares: by hand 0.97 x 0.03 x 0.35 squared, and (1, 1) more than were looked at.
test('pots to expect have limits, wider with each stage and as narrow as luck alone where shares are sure', () => {
  expect(writtenDiffer(0.97)).toBeCloseTo(0.00356475, 9);
  expect(countedDiffer(80)).toBeCloseTo(1 / 82, 12);
  const stages = [0.9, 0.96, 0.97].map((share) => ({ share, differ: writtenDiffer(share) }));
  const within = throughWithin(3600, 1, stages);
  expect(within.map(({ left }) => left)).toEqual(through(3600, 1, stages));
  let before = 0;
  for (const { left, low, high } of within) {
    expect(low).toBeLessThan(left);
    expect(high).toBeGreaterThan(left);
    expect((high - low) / left).toBeGreaterThan(before);
    before = (high - low) / left;
  }
  // A share that counts as sure, and one of which all come through, leave nothing open.
  expect(throughWithin(100, 1, [{ share: 0.9 }])).toEqual([{ left: 90, low: 90, high: 90 }]);
  expect(throughWithin(100, 3, [{ share: 1, plantsEach: 2 }])).toEqual([{ left: 150, low: 150, high: 150 }]);
});
