/** Times as loggers write them down, and the moments that they are by the clock that a logger keeps. */
import { aheadIn } from '../../../words/zone';

/** The clock of a logger: the nursery's, with its summer time; the nursery's without summer time; or UTC. */
export const CLOCKS = ['nursery', 'standard', 'utc'] as const;
export type Clock = (typeof CLOCKS)[number];

/** What a written time says. Of 3/4/2027 nobody can say by itself which number is the month. */
export interface Written {
  year: number;
  /** Month and day, or the two numbers that are one of them each. */
  first: number;
  second: number;
  order: 'month first' | 'day first' | 'not known';
  /** Seconds since midnight; not there where only a day is written. */
  seconds?: number;
  /** Minutes ahead of UTC, where it is written. */
  offset?: number;
}

const TIME = /^(\d{1,2})[:h](\d{2})(?:[:.](\d{2})(?:[.,]\d+)?)?\s*([ap]\.?\s?m\.?)?\s*(Z|UTC|GMT|[+-]\d{2}:?\d{2})?$/i;
const YEAR_FIRST = /^(\d{4})([-/.])(\d{1,2})\2(\d{1,2})(?:[T\s,]+(.+))?$/;
const YEAR_LAST = /^(\d{1,2})([-/.])(\d{1,2})\2(\d{4}|\d{2})(?:[\s,]+(.+))?$/;

/** Reads a day, a day with a time, or nothing. */
export function readMoment(text: string): Written | undefined {
  const trimmed = text.trim();
  const ahead = YEAR_FIRST.exec(trimmed);
  if (ahead)
    return withTime(
      { year: Number(ahead[1]), first: Number(ahead[3]), second: Number(ahead[4]), order: 'month first' },
      ahead[5],
    );
  const behind = YEAR_LAST.exec(trimmed);
  if (!behind) return undefined;
  const year = Number(behind[4]);
  // With points the day always comes first.
  const order = behind[2] === '.' ? 'day first' : 'not known';
  return withTime(
    { year: year < 100 ? 2000 + year : year, first: Number(behind[1]), second: Number(behind[3]), order },
    behind[5],
  );
}

/** Reads a time of day alone. */
export function readTime(text: string): Pick<Written, 'seconds' | 'offset'> | undefined {
  const found = TIME.exec(text.trim());
  if (!found) return undefined;
  let hour = Number(found[1]);
  const half = found[4]?.charAt(0).toLowerCase();
  if (half && (hour < 1 || hour > 12)) return undefined;
  if (half) hour = (hour % 12) + (half === 'p' ? 12 : 0);
  const [minute, second] = [Number(found[2]), Number(found[3] ?? 0)];
  if (hour > 23 || minute > 59 || second > 59) return undefined;
  const offset = offsetIn(found[5]);
  return { seconds: (hour * 60 + minute) * 60 + second, ...(offset === undefined ? {} : { offset }) };
}

function withTime(day: Written, time: string | undefined): Written | undefined {
  if (time === undefined) return day;
  const read = readTime(time);
  return read && { ...day, ...read };
}

function offsetIn(written: string | undefined): number | undefined {
  if (!written) return undefined;
  const [, sign, hours, minutes] = /^([+-])(\d{2}):?(\d{2})$/.exec(written) ?? [];
  if (!sign) return 0;
  return (sign === '-' ? -1 : 1) * (Number(hours) * 60 + Number(minutes));
}

/** Milliseconds as if the clock stood in UTC; undefined where there is no such day. */
export function wallOf(written: Written, dayFirst: boolean): number | undefined {
  const isDayFirst = written.order === 'not known' ? dayFirst : written.order === 'day first';
  const [month, day] = isDayFirst ? [written.second, written.first] : [written.first, written.second];
  const midnight = Date.UTC(written.year, month - 1, day);
  const back = new Date(midnight);
  if (month < 1 || back.getUTCMonth() !== month - 1 || back.getUTCDate() !== day) return undefined;
  return midnight + (written.seconds ?? 0) * 1000;
}

/** A stretch in which a zone is so far ahead of UTC, in milliseconds. */
interface Stretch {
  from: number;
  to: number;
  ahead: number;
}

const HALF_DAY = 43_200_000;

/** How a clock maps to moments, over the days that a file is about. */
export class ClockFace {
  readonly #stretches: readonly Stretch[];

  constructor(clock: Clock, zone: string, firstWall: number, lastWall: number) {
    const always = (ahead: number): Stretch[] => [{ from: -Infinity, to: Infinity, ahead }];
    if (clock === 'utc') this.#stretches = always(0);
    else if (clock === 'standard') this.#stretches = always(standardAhead(zone, firstWall));
    else this.#stretches = stretchesOf(zone, firstWall - 2 * HALF_DAY, lastWall + 2 * HALF_DAY);
  }

  /**
   * The moments at which the clock showed this: none in the hour that is skipped in spring, two in the one that comes twice in autumn,
   * the earlier one first.
   */
  momentsOf(wall: number): number[] {
    return this.#stretches.flatMap(({ from, to, ahead }) => {
      const at = wall - ahead;
      return from <= at && at < to ? [at] : [];
    });
  }
}

/** Standard time is the one that is less far ahead, north and south of the equator. */
function standardAhead(zone: string, ms: number): number {
  const year = new Date(ms).getUTCFullYear();
  return Math.min(aheadIn(zone, Date.UTC(year, 0, 1)), aheadIn(zone, Date.UTC(year, 6, 1)));
}

function stretchesOf(zone: string, from: number, to: number): Stretch[] {
  const all: Stretch[] = [{ from: -Infinity, to: Infinity, ahead: aheadIn(zone, from) }];
  for (let at = from; at < to; at += HALF_DAY) {
    const last = all.at(-1) as Stretch;
    const ahead = aheadIn(zone, at + HALF_DAY);
    if (ahead === last.ahead) continue;
    // Clocks are set on a whole minute.
    let [before, after] = [at, at + HALF_DAY];
    while (after - before > 60_000) {
      const middle = before + Math.floor((after - before) / 120_000) * 60_000 || before + 60_000;
      if (aheadIn(zone, middle) === last.ahead) before = middle;
      else after = middle;
    }
    const turn = Math.ceil(after / 60_000) * 60_000;
    last.to = turn;
    all.push({ from: turn, to: Infinity, ahead });
  }
  return all;
}
