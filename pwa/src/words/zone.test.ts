/**
 * A computer in Berlin at a desk of a nursery in New York. Zones and changes of the clocks are the IANA time zone database's: New York is 5 h
 * behind UTC in winter and 4 h in summer, Berlin 1 h ahead; clocks in New York went from 2 to 3 on 8 March 2026 and back from 2 to 1 on 1 November.
 */
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import { dayIn, dayOf, timeOfDay } from '../forms/days';
import { speak } from '.';
import * as format from './format';
import { clockOf, momentOf } from './zone';

beforeAll(() => {
  // What a device in Berlin says in winter, wherever this test runs.
  vi.spyOn(Date.prototype, 'getTimezoneOffset').mockReturnValue(-60);
  format.otherClock.value = clockOf('America/New_York');
});
afterAll(async () => {
  format.otherClock.value = undefined;
  await speak('en');
});

/** 15:00 on 30 November in New York, 21:00 in Berlin. */
const now = Date.UTC(2026, 10, 30, 20);
/** 21:30 of the same day in New York, 3:30 of the next in Berlin. */
const late = Date.UTC(2026, 11, 1, 2, 30);

test('a bed opens by the nursery’s clocks, and the sentence says whose time it is', async () => {
  await speak('en');
  expect(format.untilWhen(late, now)).toMatch(/^(9:30.PM|21:30) nursery time$/);
  expect(format.atWhen(late + 86_400_000, now)).toMatch(/^on .*1.* at (9:30.PM|21:30) nursery time$/);
  expect(format.dateTime(late, now)).toMatch(/30.*(9:30|21:30)/);
  expect(format.otherClock.value?.note(now)).toBe('Times are the nursery’s: 6 h earlier than on this device.');
  await speak('es');
  expect(format.untilWhen(late, now)).toMatch(/^las (9:30|21:30).*, hora del vivero$/);
});

test('today is the nursery’s', () => {
  expect([format.daysSince(now, late), dayOf(late), dayIn(1, late)]).toEqual([0, '2026-11-30', '2026-12-01']);
  expect(format.daysSince(now, Date.UTC(2026, 11, 1, 5))).toBe(1);
  expect(timeOfDay(late)).toBe('21:30');
});

test('a time that is typed is the nursery’s, in summer and winter and where the clocks change', () => {
  expect(momentOf('2026-11-30', '21:30')).toBe(late);
  expect(momentOf('2026-07-01', '08:00')).toBe(Date.UTC(2026, 6, 1, 12));
  expect(momentOf('2026-03-08', '01:59')).toBe(Date.UTC(2026, 2, 8, 6, 59));
  expect(momentOf('2026-03-08', '03:00')).toBe(Date.UTC(2026, 2, 8, 7));
  expect(momentOf('2026-11-01', '02:00')).toBe(Date.UTC(2026, 10, 1, 7));
  expect(momentOf('2026-11-31', '25:00')).toBeUndefined();
});

test('nothing is said where both clocks show the same, whatever the zone is called', async () => {
  format.otherClock.value = clockOf('Europe/Paris');
  await speak('en');
  expect(format.untilWhen(late, now)).toMatch(/(3:30.AM|03:30)$/);
  expect(format.otherClock.value?.note(now)).toBe('');
  expect(clockOf('Nowhere/Land')).toBeUndefined();
});
