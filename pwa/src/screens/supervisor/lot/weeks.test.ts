import { expect, test } from 'vitest';
import { weeksFrom } from './weeks';

// ISO 8601 by hand: 28 November 2026 is a Saturday, in the week that began on Monday the 23rd, the 48th.
const now = new Date(2026, 10, 28, 12).getTime();

test('a booking is offered this week and those to come, none that is past', () => {
  expect(weeksFrom(now, '')[0]).toBe('2026-W48');
  expect(weeksFrom(now, '')).toContain('2027-W04');
});

test('a past week that is set already stays among them', () => {
  expect(weeksFrom(now, '2026-W40').slice(0, 2)).toEqual(['2026-W40', '2026-W48']);
});
