import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { activePerPot, litresFor, product, type By } from './mix.ts';

interface Vector {
  name: string;
  input: { ppm: number; litres: number; percent: number; by: By; density: number };
  want: { amount?: number; field?: string };
}

const vectors = JSON.parse(readFileSync('fixtures/vectors/mix-product.json', 'utf8')) as Vector[];

test.each(vectors)('$name', ({ input, want }) => {
  const { ppm, litres, percent, by, density } = input;
  const have = product(ppm, litres, { percent, by, gramsPerMl: density });
  if (!have.ok) expect(have.field).toBe(want.field);
  else expect(Math.abs(have.amount - (want.amount ?? 0))).toBeLessThanOrEqual(1e-9 * (want.amount ?? 0));
});

test('a drench is as much for each pot as the pots get together', () => {
  // 4 US fluid ounces are 118.29411825 mL, by definition of the gallon.
  expect(activePerPot(1, 118.29411825)).toBeCloseTo(0.1183, 4);
  expect(litresFor(200, 120)).toBe(24);
});
