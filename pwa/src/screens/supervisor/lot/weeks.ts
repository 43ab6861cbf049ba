/** ISO 8601 weeks as ship weeks are written ("2026-W50"), to be chosen and said. */
import { mondayOf, weekOf as weekOfDay } from '../../../../../sync/calendar/week';
import { dayOf } from '../../../forms/days';
import { supervisorWords } from '../../../words/supervisor';
import { day, shipWeek } from '../../../words/format';

const DAY = 86_400_000;
const WEEKS_AHEAD = 104;

/** The week of a moment on this device's calendar. */
export function weekOf(ms: number): string {
  return weekOfDay(dayOf(ms));
}

/** "week 50, 2026 (from 7 Dec 2026)". */
export function describeWeek(week: string): string {
  const monday = mondayOf(week);
  return monday ? supervisorWords.value.promise.weekFrom(shipWeek(week), day(monday)) : shipWeek(week);
}

/** Weeks to choose from: this one and those to come, and the one that is set, whenever that was. */
export function weeksFrom(now: number, set: string): string[] {
  const weeks = new Set<string>();
  for (let i = 0; i <= WEEKS_AHEAD; i++) weeks.add(weekOf(now + i * 7 * DAY));
  if (set !== '') weeks.add(set);
  return [...weeks].sort();
}
