import { expect, test } from 'vitest';
import { fit } from './fit';

test.each([
  [4000, 3000, 1600, 1200],
  [3000, 4000, 1200, 1600],
  [1600, 1, 1600, 1],
  [8000, 2, 1600, 1],
  [640, 480, 640, 480],
])('%i × %i is kept as %i × %i', (wide, high, keptWide, keptHigh) => {
  expect(fit(wide, high)).toEqual({ wide: keptWide, high: keptHigh });
});
