/** A lot's line in the calendar: a stage is named where its name has room, and what is hatched over it takes room away. */
import { cleanup, render } from '@testing-library/preact';
import { afterEach, beforeEach, expect, test } from 'vitest';
import type { CropPlan } from '../../../../../schema/types';
import { speak } from '../../../words';
import { Line } from './Line';

const DAY = 86_400_000;
const now = Date.parse('2026-11-30T00:00:00Z');
// 300 days on 600 px, the width that is taken where nothing has been measured: 2 px a day.
const scale = { from: now - 100 * DAY, to: now + 200 * DAY, now };

beforeEach(() => speak('en'));
afterEach(cleanup);

const step = (more: object) => ({ step: '', stage: '', done: false, on: '', day10: '', day50: '', day90: '', ...more });
const planOf = (ready: object) =>
  ({
    steps: [
      step({ done: true, on: '2026-10-01', stage: 'cold' }),
      step({ stage: 'forcing', day50: '2026-12-20', ...ready }),
    ],
    next: 1,
    by: '2026-12-21',
  }) as unknown as CropPlan;

// 60 days of forcing so far are 120 px; its name takes some 60.
test.each([
  ['after today', { day10: '2026-12-10', day90: '2027-01-10' }, true],
  ['over the last days', { day10: '2026-11-25', day90: '2026-12-20' }, true],
  ['from shortly after its beginning', { day10: '2026-10-11', day90: '2026-12-20' }, false],
  ['from before its beginning', { day10: '2026-09-20', day90: '2026-12-20' }, false],
  ['on days before it', { day10: '2026-09-01', day90: '2026-09-20' }, true],
  ['nowhere', {}, true],
])('where it is hatched %s, the name is shown: %s', (_, ready, isShown) => {
  const { container } = render(<Line plan={planOf(ready)} scale={scale} today="2026-11-30" name="AZ-1" />);
  expect(container.querySelector('.stretch text')?.textContent).toBe(isShown ? 'forcing' : undefined);
});
