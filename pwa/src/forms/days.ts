/** Calendar days as the schema writes them ("2026-03-14"), by the clocks of the nursery. */
import { wallOf } from '../words/format';
import { workWords } from '../words/rooms';
import type { Answer } from './typed';

const DAY_MS = 86_400_000;
/** Nothing that a pot plant lives through is longer ago; a hint, not a limit. */
const LONG_AGO_DAYS = 3 * 366;

/** What a day field holds when the person says that nobody knows the day. */
export const NOT_KNOWN = 'not known';

export function dayOf(ms: number): string {
  return written(wallOf(ms)).slice(0, 10);
}

export function timeOfDay(ms: number): string {
  return written(wallOf(ms)).slice(11, 16);
}

/** The day that is so many days after now, or before it. */
export function dayIn(days: number, now: number): string {
  return written(wallOf(now) + days * DAY_MS).slice(0, 10);
}

export function yesterday(now: number): string {
  return dayIn(-1, now);
}

/** Reads a day. One that nobody knows is left out, never guessed; one not yet chosen is missing. */
export function dayTyped(text: string, name: string, now: number, mayBeUnknown = false): Answer<string> {
  const words = workWords.value.work;
  if (text === NOT_KNOWN && mayBeUnknown) return {};
  if (text === '' || text === NOT_KNOWN) {
    return { problem: mayBeUnknown ? words.typed.missingOrUnknown(name) : words.typed.missing(name) };
  }
  if (!isDay(text)) return { problem: words.typed.date(name) };
  if (text > dayOf(now)) return { value: text, hint: words.hint.future };
  return daysBetween(text, dayOf(now)) > LONG_AGO_DAYS ? { value: text, hint: words.hint.long } : { value: text };
}

/** True for a day that the calendar has, written as the schema writes it. */
export function isDay(text: string): boolean {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text)) return false;
  const at = Date.parse(`${text}T00:00:00Z`);
  return !Number.isNaN(at) && new Date(at).toISOString().startsWith(text);
}

/** From the first calendar day to the second; negative where that is before it. */
export function daysBetween(from: string, to: string): number {
  return Math.round((Date.parse(to) - Date.parse(from)) / DAY_MS);
}

function written(wall: number): string {
  return new Date(wall).toISOString();
}
