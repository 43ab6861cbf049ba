/** A spreadsheet's text as cells under known names, and lengths and days as spreadsheets write them. */
import Papa from 'papaparse';
import { parse, roundHalfUp } from '../../../../../sync/unit/unit';
import { isDay } from '../../../forms/days';
import { mayBeThousands } from '../../../forms/typed';
import { fold, headings, type Heading } from './headings';

export type LengthUnit = 'mm' | 'cm' | 'm' | 'in' | 'ft';

export interface Line {
  /** The row's number in the spreadsheet, headings being row 1. */
  row: number;
  cell: (heading: Heading) => string;
}

export interface Cells {
  lines: Line[];
  /** Headings that are there, and the unit that each gives. */
  given: ReadonlyMap<Heading, LengthUnit | undefined>;
  /** Headings that nobody here knows, as they were written. */
  others: string[];
  /** Headings that are there more than once; the first counts. */
  twice: string[];
}

/** Reads comma, semicolon or tab separated text, quoted or not; cells copied from any spreadsheet are the latter. */
export function readCells(text: string): Cells {
  const { data } = Papa.parse<string[]>(text.replace(/^\uFEFF/, ''), { delimitersToGuess: ['\t', ';', ','] });
  const rows = data.map((row, at) => ({ row: at + 1, cells: row.map((cell) => cell.trim()) }));
  const [head, ...rest] = rows.filter(({ cells }) => cells.some((cell) => cell !== ''));
  const columns = new Map<Heading, number>();
  const given = new Map<Heading, LengthUnit | undefined>();
  const others: string[] = [];
  const twice: string[] = [];
  for (const [at, written] of (head?.cells ?? []).entries()) {
    const known = headingOf(written);
    if (!known) {
      if (written !== '') others.push(written);
    } else if (columns.has(known.heading)) {
      twice.push(written);
    } else {
      columns.set(known.heading, at);
      given.set(known.heading, known.unit);
    }
  }
  const lines = rest.map(({ row, cells }) => ({
    row,
    cell: (heading: Heading) => cells[columns.get(heading) ?? -1] ?? '',
  }));
  return { lines, given, others, twice };
}

/** "Length (m)", "length_m" and "Largo en m" are one heading with one unit. */
function headingOf(written: string): { heading: Heading; unit: LengthUnit | undefined } | undefined {
  const words = fold(written)
    .split(/[^a-z0-9]+/)
    .filter((word) => word !== '' && word !== 'en');
  const last = words.at(-1) ?? '';
  const unit = isUnit(last) ? last : undefined;
  const name = (unit ? words.slice(0, -1) : words).join(' ');
  const heading = headings.find(({ names }) => (names as readonly string[]).includes(name))?.heading;
  return heading && { heading, unit };
}

function isUnit(word: string): word is LengthUnit {
  return Object.hasOwn(MICROMETRES, word);
}

/** A unit in thousandths of a millimetre: whole numbers, so that 7 ft is 2134 mm on every machine. */
const MICROMETRES: Record<LengthUnit, bigint> = { mm: 1000n, cm: 10_000n, m: 1_000_000n, in: 25_400n, ft: 304_800n };

/** A typed length in whole millimetres, halves upward; undefined when it is no number, or can be read as two. */
export function millimetres(text: string, unit: LengthUnit): number | undefined {
  const typed = parse(text);
  if (!typed.ok || mayBeThousands(text)) return undefined;
  const { digits, places } = typed.value;
  return Number(roundHalfUp(BigInt(digits) * MICROMETRES[unit], 1000n * 10n ** BigInt(places)));
}

/** Millimetres in a unit, for a sentence about limits. */
export function inUnit(mm: number, unit: LengthUnit): number {
  return Math.round((mm * 100_000) / Number(MICROMETRES[unit])) / 100;
}

/**
 * A day as "2026-03-14". "14.3.2026" is read too, since with points the day always comes first; 3/4/2026 is two
 * different days in two countries, and is refused.
 */
export function dayIn(text: string): string | undefined {
  const pointed = /^(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})$/.exec(text);
  const day = pointed ? `${pointed[3]}-${pointed[2]?.padStart(2, '0')}-${pointed[1]?.padStart(2, '0')}` : text;
  return isDay(day) ? day : undefined;
}

/** A ship week as "2027-W04", however year and week were joined; undefined where the year has no such week. */
export function weekIn(text: string): string | undefined {
  const [, year, week] = /^(\d{4})[- ]?W(\d{1,2})$/i.exec(text) ?? [];
  if (!year || !week || Number(week) < 1 || Number(week) > weeksOf(Number(year))) return undefined;
  return `${year}-W${week.padStart(2, '0')}`;
}

/** ISO 8601: a year has 53 weeks when it begins or ends on a Thursday. */
function weeksOf(year: number): number {
  const weekday = (month: number, day: number) => new Date(Date.UTC(year, month, day)).getUTCDay();
  return weekday(0, 1) === 4 || weekday(11, 31) === 4 ? 53 : 52;
}

/** A file's text: UTF-8, or UTF-16 by its mark, or else what old spreadsheets on Windows write. */
export function textOf(bytes: ArrayBuffer): string {
  const [first, second] = new Uint8Array(bytes.slice(0, 2));
  if (first === 0xff && second === 0xfe) return new TextDecoder('utf-16le').decode(bytes);
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}
