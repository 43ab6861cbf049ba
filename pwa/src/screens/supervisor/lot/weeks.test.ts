import { expect, test } from 'vitest';
import { saidHolidays, weeksFrom } from './weeks';

// ISO 8601 by hand: 28 November 2026 is a Saturday, in the week that began on Monday the 23rd, the 48th.
const now = new Date(2026, 10, 28, 12).getTime();

test('a booking is offered this week and those to come, none that is past', () => {
  expect(weeksFrom(now, '')[0]).toBe('2026-W48');
  expect(weeksFrom(now, '')).toContain('2027-W04');
});

test('a past week that is set already stays among them', () => {
  expect(weeksFrom(now, '2026-W40').slice(0, 2)).toEqual(['2026-W40', '2026-W48']);
});

// Easter 2027 is on 28 March and the second Sunday of May on the 9th (fixtures/checks/plan/calendar.json); three weeks before Easter is 7 March.
test.each([
  ['2027-W06', 'us', ['Valentine’s Day, Feb 14']],
  ['2027-W12', 'us', ['Easter, Mar 28']],
  ['2027-W12', 'gr', []],
  ['2027-W13', 'us', []],
  ['2027-W18', 'us', ['Mother’s Day, May 9']],
  ['2027-W18', 'mx', []],
  ['2027-W19', 'mx', ['Mother’s Day, May 10']],
  ['2027-W09', 'ie', ['Mother’s Day, Mar 7']],
  ['2027-W17', 'es', ['Mother’s Day, May 2']],
  ['2027-W18', 'pl', []],
  ['2026-W52', '', ['Christmas Day, Dec 25']],
  ['2026-W53', 'us', []],
  ['no week', 'us', []],
])('%s has, in %s, %j', (week, region, want) => {
  expect(saidHolidays(week, region)).toEqual(want);
});
