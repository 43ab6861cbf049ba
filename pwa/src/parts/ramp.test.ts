import { expect, test } from 'vitest';
import { rampStep } from './ramp';

test('a bed has the shade of the number that is shown on it, at the desk and on the phone', () => {
  expect([0, 0.49, 0.5, 0.796, 0.8, 0.9, 1].map(rampStep)).toEqual([0, 0, 1, 4, 4, 5, 5]);
});
