/** ISO 8601 weeks as ship weeks are written ("2026-W50"), to be chosen and said. */
import { daysAfter, easter, nthWeekday } from '../../../../../sync/calendar/holidays';
import { mondayOf, weekOf as weekOfDay } from '../../../../../sync/calendar/week';
import { dayOf } from '../../../forms/days';
import { supervisorWords } from '../../../words/supervisor';
import { day, dayOfYear, shipWeek } from '../../../words/format';
import { regionOfDevice } from '../../../words/variety';

const DAY = 86_400_000;
const WEEKS_AHEAD = 104;

/** The week of a moment at the nursery. */
export function weekOf(ms: number): string {
  return weekOfDay(dayOf(ms));
}

/** "week 50, 2026 (from 7 Dec 2026)", and the holidays in it. */
export function describeWeek(week: string): string {
  const monday = mondayOf(week);
  if (!monday) return shipWeek(week);
  return [supervisorWords.value.promise.weekFrom(shipWeek(week), day(monday)), ...saidHolidays(week)].join(' · ');
}

/** "Easter, 28 Mar": the holidays of a week. */
export function saidHolidays(week: string, region = regionOfDevice()): string[] {
  return holidaysIn(week, region).map(
    ({ name, on }) => `${supervisorWords.value.promise.holidays[name]}, ${dayOfYear(Date.parse(on), 'UTC')}`,
  );
}

type Holiday = 'valentine' | 'easter' | 'mothers' | 'christmas';

/**
 * The days that azaleas are shipped for, those of a week. Which days these are is common practice, no source; when a region keeps Easter and
 * Mother's Day is from memory, and where it is not known none is named.
 */
function holidaysIn(week: string, region: string): { name: Holiday; on: string }[] {
  const monday = mondayOf(week);
  if (!monday) return [];
  const sunday = daysAfter(monday, 6);
  // A week may begin in one year and end in the next.
  const years = [...new Set([monday, sunday].map((each) => Number(each.slice(0, 4))))];
  return years
    .flatMap((year): { name: Holiday; on: string }[] => [
      { name: 'valentine', on: `${year}-02-14` },
      { name: 'easter', on: julianEaster.has(region) ? '' : easter(year) },
      { name: 'mothers', on: mothersDay(year, region) },
      { name: 'christmas', on: `${year}-12-25` },
    ])
    .filter(({ on }) => on >= monday && on <= sunday);
}

/** Regions where most keep Easter by the calendar of before 1582, in most years on another Sunday. */
const julianEaster = new Set('gr cy ro bg rs me mk md ua by ru ge et er'.split(' '));
const secondSundayOfMay = new Set('us ca pr au nz de at ch be nl it dk fi jp br'.split(' '));

/** "" where nobody here knows when a region keeps it. */
function mothersDay(year: number, region: string): string {
  if (region === 'gb' || region === 'ie') return daysAfter(easter(year), -21);
  if (region === 'mx') return `${year}-05-10`;
  if (region === 'es' || region === 'pt') return nthWeekday(year, 5, 7, 1);
  return secondSundayOfMay.has(region) ? nthWeekday(year, 5, 7, 2) : '';
}

/** Weeks to choose from: this one and those to come, and the one that is set, whenever that was. */
export function weeksFrom(now: number, set: string): string[] {
  const weeks = new Set<string>();
  for (let i = 0; i <= WEEKS_AHEAD; i++) weeks.add(weekOf(now + i * 7 * DAY));
  if (set !== '') weeks.add(set);
  return [...weeks].sort();
}
