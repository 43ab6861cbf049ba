/** How numbers, days, times and measures are written, in the language and units of the person at the screen. */
import { signal } from '@preact/signals';
import { language, appWords, units } from '.';
import { isPlain } from './plural';
import { varietyOf } from './variety';
import type { Estimate, Interval, Share, Stamp } from '../../../schema/types';

const DAY = 86_400_000;
const NARROW = '\u202f';
const NOT_YET = '…';

const made = new Map<string, Intl.NumberFormat | Intl.DateTimeFormat | Intl.ListFormat>();

/**
 * False at a start until the browser has read its tables of languages. That takes a slow phone a fifth of a second, once
 * for all its threads; so the sync worker has it done while the screen is drawn, with "…" where a time will stand.
 */
export const atHand = signal(true);

export function awaitTables(read: Promise<unknown>): void {
  atHand.value = false;
  void read.then(() => (atHand.value = true));
}

/** The clock of a nursery in another time zone than this device's (zone.ts). Times at a nursery as read anywhere are read off its own clocks. */
export interface OtherClock {
  /** Its IANA name. */
  readonly zone: string;
  /** What its clocks show at a moment, as if they stood in UTC (ms). */
  wall: (ms: number) => number;
  /** The moment at which its clocks show that. */
  momentAt: (wall: number) => number;
  /** A time of day as it is said, with whose it is where this device shows another at that moment. */
  there: (said: string, ms: number) => string;
  /** The sentence that times are the nursery's; '' while this device shows the same. */
  note: (now: number) => string;
}

/** Undefined where the nursery is in this device's own zone, where nobody has set its zone, and until that is known. */
export const otherClock = signal<OtherClock | undefined>(undefined);
let followed = '';

/** Has times written by the clocks of a zone; by this device's own for ''. */
export async function followZone(zone: string): Promise<void> {
  followed = zone;
  const isOwn = zone === '' || zone === new Intl.DateTimeFormat().resolvedOptions().timeZone;
  const clock = isOwn ? undefined : (await import('./zone')).clockOf(zone);
  if (followed === zone) otherClock.value = clock;
}

export function deviceWall(ms: number): number {
  return ms - new Date(ms).getTimezoneOffset() * 60_000;
}

/** What the nursery's clocks show at a moment, as if they stood in UTC (ms). */
export function wallOf(ms: number): number {
  return otherClock.value ? otherClock.value.wall(ms) : deviceWall(ms);
}

/** Builds an Intl formatter once a language and way of writing: making one costs more than a hundred uses. */
function kept<F extends Intl.NumberFormat | Intl.DateTimeFormat | Intl.ListFormat>(key: string, make: () => F): F {
  const full = `${locale()} ${key}`;
  const found = made.get(full);
  if (found) return found as F;
  const fresh = make();
  made.set(full, fresh);
  return fresh;
}

/** The regional variety of the language on the screen that numbers and days are written in. */
export function locale(): string {
  return varietyOf(language.value);
}

export function number(value: number, digits = 0): string {
  if (digits === 0 && isPlain(Math.round(value))) return String(Math.round(value));
  return kept(
    `n${digits}`,
    () => new Intl.NumberFormat(locale(), { minimumFractionDigits: digits, maximumFractionDigits: digits }),
  ).format(value);
}

/** A share (0 to 1) in per cent. */
export function percent(share: number, digits = 0): string {
  return `${number(share * 100, digits)}${NARROW}%`;
}

/** A share (0 to 1) as points of a hundred, the way uniformity is written. */
export function points(share: number): string {
  return number(share * 100);
}

export function range(interval: Interval, write: (value: number) => string): string {
  return interval.known
    ? appWords.value.common.to(write(interval.low), write(interval.high))
    : appWords.value.common.unknown;
}

/** "81 (70 to 88)", or the value alone where no interval can be given, or "not known". */
export function estimate(given: Estimate, write: (value: number) => string): string {
  if (!given.known) return appWords.value.common.unknown;
  if (!given.interval.known) return write(given.value);
  return appWords.value.common.withRange(write(given.value), write(given.interval.low), write(given.interval.high));
}

/** A relative number in per cent, the unit written once at the end: "6.4 % (4.5 to 10.2 %)". */
export function percentEstimate(given: Estimate, digits = 0): string {
  const bare = (value: number) => number(value * 100, digits);
  return written(
    given,
    (value) => percent(value, digits),
    bare,
    (value) => percent(value, digits),
  );
}

/** A length with its interval, the unit written once: "27.7 cm (26.7 to 28.7)". */
export function lengthEstimate(given: Estimate): string {
  const bare = (mm: number) => number(inLength(mm), 1);
  return written(given, length, bare, bare);
}

/** A relative difference with its sign: "+4.0 %". */
export function signedPercent(value: number): string {
  return `${sign(value)}${percent(Math.abs(value), 1)}`;
}

export function signedPercentEstimate(given: Estimate): string {
  return written(given, signedPercent, (value) => `${sign(value)}${number(Math.abs(value) * 100, 1)}`, signedPercent);
}

/** "5 of 18 pots (13 to 46 %)", and what nothing seen still allows. */
export function share(given: Share): string {
  const words = appWords.value.common;
  if (!given.known || given.n === 0) return words.notLookedAt;
  if (given.x === 0) return words.noneStillAllows(given.n, percent(given.interval.high));
  if (given.x === given.n) return words.allStillAllows(given.n, percent(given.interval.low));
  return words.shareSeen(given.x, given.n, points(given.interval.low), percent(given.interval.high));
}

export function lengthUnit(): string {
  return units.value.length === 'in' ? appWords.value.common.inch : appWords.value.common.centimetre;
}

/** Millimetres in the person's unit, as a bare number: centimetres or inches. */
export function inLength(mm: number): number {
  return units.value.length === 'in' ? mm / 25.4 : mm / 10;
}

/** A head size or height: "31.5 cm". */
export function length(mm: number, digits = 1): string {
  return `${number(inLength(mm), digits)}${NARROW}${lengthUnit()}`;
}

/** Millimetres on the ground in the person's unit, as a bare number: metres or feet. */
export function inDistance(mm: number): number {
  return units.value.length === 'in' ? mm / 304.8 : mm / 1000;
}

export function distanceUnit(): string {
  return units.value.length === 'in' ? appWords.value.common.foot : appWords.value.common.metre;
}

/** A length on the ground: "42 m" or "138 ft". */
export function distance(mm: number, digits = 0): string {
  return `${number(inDistance(mm), digits)}${NARROW}${distanceUnit()}`;
}

/** Tenths of a degree Celsius. */
export function temperature(tenths: number): string {
  const fahrenheit = units.value.temperature === 'F';
  return `${number(fahrenheit ? (tenths * 9) / 50 + 32 : tenths / 10, 1)}${NARROW}${fahrenheit ? '°F' : '°C'}`;
}

export function volume(litres: number, digits = 1): string {
  const gallons = units.value.volume === 'gal';
  return `${number(gallons ? litres / 3.785411784 : litres, digits)}${NARROW}${gallons ? appWords.value.common.gallon : appWords.value.common.litre}`;
}

/** A calendar day as the schema writes it ("2026-03-14"), whatever the time zone of the device. */
export function day(written: string): string {
  const at = Date.parse(`${written}T00:00:00Z`);
  return Number.isNaN(at) ? appWords.value.common.unknown : dated(YEAR, 'UTC').format(at);
}

export function dateOf(ms: number): string {
  return atHand.value ? dated(YEAR).format(ms) : NOT_YET;
}

/** "Wednesday 25 November", for the day that it is. */
export function weekday(ms: number): string {
  if (!atHand.value) return NOT_YET;
  return dated({ weekday: 'long', day: 'numeric', month: 'long' }).format(ms);
}

/**
 * Day and month, for an axis whose years are plain from the table behind it.
 * @param timeZone "UTC" for the beginning of a calendar day in UTC
 */
export function dayOfYear(ms: number, timeZone?: 'UTC'): string {
  return dated({ day: 'numeric', month: 'short' }, timeZone).format(ms);
}

function timeOf(ms: number): string {
  if (!atHand.value) return NOT_YET;
  return dated({ hour: 'numeric', minute: '2-digit' }).format(ms);
}

/** "Nov 28", and the year with it where that is not this one. */
export function shortDate(ms: number, now = Date.now()): string {
  const yearOf = (at: number) => new Date(wallOf(at)).getUTCFullYear();
  const isThisYear = yearOf(ms) === yearOf(now);
  return !isThisYear ? dateOf(ms) : atHand.value ? dayOfYear(ms) : NOT_YET;
}

/** "Nov 28, 2:12 PM" in the United States, "28 Nov, 14:12" in Ireland. */
export function dateTime(ms: number, now = Date.now()): string {
  return !atHand.value ? NOT_YET : `${shortDate(ms, now)}, ${timeOf(ms)}`;
}

/** The time alone for today, else day and time. */
export function when(ms: number, now = Date.now()): string {
  return daysSince(ms, now) === 0 ? timeOf(ms) : dateTime(ms, now);
}

/** For a sentence that says when: "at 10:26" of today, else "on 29 Nov at 10:26". */
export function atWhen(ms: number, now = Date.now()): string {
  if (!atHand.value) return NOT_YET;
  const words = appWords.value.common;
  return there(daysSince(ms, now) === 0 ? words.atTime(timeOf(ms)) : words.atDay(shortDate(ms, now), timeOf(ms)), ms);
}

/** After "until" or "as of": "10:26" of today, else the day with it. */
export function untilWhen(ms: number, now = Date.now()): string {
  if (!atHand.value) return NOT_YET;
  const words = appWords.value.common;
  return there(
    daysSince(ms, now) === 0 ? words.untilTime(timeOf(ms)) : words.untilDay(shortDate(ms, now), timeOf(ms)),
    ms,
  );
}

/** A time of day as it was said, with "nursery time" where this device shows another. */
export function there(said: string, ms: number): string {
  return otherClock.value?.there(said, ms) ?? said;
}

/** "today", "yesterday", "5 days ago". */
export function ago(ms: number, now = Date.now()): string {
  const days = daysSince(ms, now);
  const words = appWords.value.common;
  return days <= 0 ? words.today : days === 1 ? words.yesterday : words.ago(days);
}

/** Whole calendar days between two moments by the nursery's midnights, as the server counts them. */
export function daysSince(ms: number, now = Date.now()): number {
  return Math.floor(wallOf(now) / DAY) - Math.floor(wallOf(ms) / DAY);
}

/** When an entry was made: a moment, or the span that is all that is known. */
export function stamp(given: Stamp): string {
  if (given.quality !== 'bracketed') return dateTime(given.at);
  return appWords.value.common.between(dateTime(given.from), dateTime(given.to));
}

/** An ISO week as the schema writes it ("2026-W50"). */
export function shipWeek(written: string): string {
  const [year, week] = written.split('-W');
  return year && week ? appWords.value.common.week(String(Number(week)), year) : appWords.value.common.unknown;
}

export function list(items: string[]): string {
  return kept('list', () => new Intl.ListFormat(locale(), { type: 'conjunction' })).format(items);
}

type Write = (value: number) => string;

function written(given: Estimate, value: Write, low: Write, high: Write): string {
  if (!given.known) return appWords.value.common.unknown;
  if (!given.interval.known) return value(given.value);
  return appWords.value.common.withRange(value(given.value), low(given.interval.low), high(given.interval.high));
}

function sign(value: number): string {
  return value < 0 ? '−' : '+';
}

const YEAR: Intl.DateTimeFormatOptions = { day: 'numeric', month: 'short', year: 'numeric' };

function dated(options: Intl.DateTimeFormatOptions, zone = otherClock.value?.zone): Intl.DateTimeFormat {
  const all = zone ? { ...options, timeZone: zone } : options;
  return kept(JSON.stringify(all), () => new Intl.DateTimeFormat(locale(), all));
}
