import { expect, test } from 'vitest';
import { kindName, signed } from './entry';

test('a change of pots has a minus sign, not a hyphen', () => {
  expect([-5, 0, 12, -1200].map(signed)).toEqual(['−5', '0', '+12', '−1,200']);
});

test('work that was done is not called a step: "step stepped up"', () => {
  expect(kindName('event')).toBe('work done');
});
