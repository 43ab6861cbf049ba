/** Weeks of ISO 8601 as ship weeks are written ("2026-W50"): Monday to Sunday, and week 1 is the one with 4 January in it. */

const DAY = 86_400_000;

/** @returns the week in which a day lies, written 2027-01-03; its year is that of its Thursday */
export function weekOf(day: string): string {
  const noon = Date.parse(day);
  const thursday = new Date(noon + (3 - ((new Date(noon).getUTCDay() + 6) % 7)) * DAY);
  const first = Date.UTC(thursday.getUTCFullYear(), 0, 1);
  const number = Math.floor((thursday.getTime() - first) / (7 * DAY)) + 1;
  return `${thursday.getUTCFullYear()}-W${String(number).padStart(2, '0')}`;
}

/** @returns the Monday of a week, as a day written 2026-12-28; undefined for what is no week, or none that its year has */
export function mondayOf(week: string): string | undefined {
  const [, year, number] = /^(\d{4})-W(\d{2})$/.exec(week) ?? [];
  if (!year || !number) return undefined;
  const fourth = Date.UTC(Number(year), 0, 4);
  const weekday = (new Date(fourth).getUTCDay() + 6) % 7;
  const monday = new Date(fourth + ((Number(number) - 1) * 7 - weekday) * DAY).toISOString().slice(0, 10);
  return weekOf(monday) === week ? monday : undefined;
}
