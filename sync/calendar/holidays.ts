/** Days that fall on another date each year. TypeScript alone, since only screens name them. */

const DAY = 86_400_000;

/** Easter Sunday of the Gregorian calendar, written 2027-03-28 (Butcher's rule of 1876, as Meeus 1991, Astronomical Algorithms, ch. 8, has it). */
export function easter(year: number): string {
  const century = Math.floor(year / 100);
  const moon = year % 19;
  const corrected = century - Math.floor(century / 4) - Math.floor((century - Math.floor((century + 8) / 25) + 1) / 3);
  const full = (19 * moon + corrected + 15) % 30;
  const left = year % 100;
  const sunday = (32 + 2 * (century % 4) + 2 * Math.floor(left / 4) - full - (left % 4)) % 7;
  const late = Math.floor((moon + 11 * full + 22 * sunday) / 451);
  // Counted from the first of March.
  return written(Date.UTC(year, 2, 22 + full + sunday - 7 * late));
}

/** The nth weekday (1 Monday to 7 Sunday) of a month (1 to 12), written 2027-05-09. */
export function nthWeekday(year: number, month: number, weekday: number, nth: number): string {
  const first = Date.UTC(year, month - 1, 1);
  const isOn = ((new Date(first).getUTCDay() + 6) % 7) + 1;
  return written(first + ((weekday - isOn + 7) % 7) * DAY + (nth - 1) * 7 * DAY);
}

/** So many days after a day. */
export function daysAfter(day: string, days: number): string {
  return written(Date.parse(day) + days * DAY);
}

function written(ms: number): string {
  return new Date(ms).toISOString().slice(0, 10);
}
