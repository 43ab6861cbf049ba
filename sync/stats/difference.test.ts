import { expect, test } from 'vitest';
import type { Estimate } from '../../schema/types.ts';
import { differenceOf } from './difference.ts';

const of = (value: number, low: number, high: number, n = 10): Estimate => ({
  value,
  interval: { low, high, known: true },
  n,
  known: true,
});

/** Wilson's interval (1927, Journal of the American Statistical Association 22:209), 95 %. */
function wilson(x: number, n: number): Estimate {
  const z = 1.959964;
  const middle = (x + (z * z) / 2) / (n + z * z);
  const half = (z / (n + z * z)) * Math.sqrt((x * (n - x)) / n + (z * z) / 4);
  return of(x / n, middle - half, middle + half, n);
}

// Newcombe 1998, Statistics in Medicine 17:873, table II, method 10, from memory.
test.each([
  [56, 70, 48, 80, 0.2, 0.0524, 0.3339],
  [9, 10, 3, 10, 0.6, 0.1705, 0.809],
  [10, 10, 0, 10, 1, 0.6075, 1],
])('%d of %d less %d of %d is as published', (x, n, y, m, value, low, high) => {
  const got = differenceOf(wilson(x, n), wilson(y, m));
  expect(got.value).toBeCloseTo(value, 10);
  expect(got.interval.low).toBeCloseTo(low, 4);
  expect(got.interval.high).toBeCloseTo(high, 4);
});

test('turned about, a difference has the other sign and its limits changed places', () => {
  const [a, b] = [of(0.47, 0.33, 0.6), of(0.94, 0.86, 0.99)];
  const [there, back] = [differenceOf(a, b), differenceOf(b, a)];
  expect(back.value).toBe(-there.value);
  expect(back.interval.low).toBeCloseTo(-there.interval.high, 12);
});

test('what is not known of one is not known of the difference', () => {
  const unknown = { ...of(0, 0, 0), known: false };
  expect(differenceOf(of(0.5, 0.4, 0.6), unknown).known).toBe(false);
  const bare = { ...of(0.5, 0, 0), interval: { low: 0, high: 0, known: false } };
  expect(differenceOf(of(0.5, 0.4, 0.6), bare)).toMatchObject({ known: true, interval: { known: false } });
});
