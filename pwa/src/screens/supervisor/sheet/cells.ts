/** A spreadsheet's text as cells under known names, and lengths and days as spreadsheets write them. */
import Papa from 'papaparse';
import { parse, roundHalfUp } from '../../../../../sync/unit/unit';
import { isDay } from '../../../forms/days';
import { mayBeThousands } from '../../../forms/typed';
import { fold, headings, type Heading, type Known } from './headings';

export type LengthUnit = 'mm' | 'cm' | 'm' | 'in' | 'ft';

export interface Line {
  /** The row's number in the spreadsheet, headings being row 1. */
  row: number;
  cell: (heading: Heading) => string;
}

/** A column of the sheet, and what it is read as. */
export interface SheetColumn {
  at: number;
  /** Its heading as it was written. */
  written: string;
  /** '' is left out. */
  heading: Heading | '';
  /** Nobody here knows the heading, or an earlier column has it: somebody may say what it is. */
  asks: boolean;
}

export interface Cells {
  lines: Line[];
  columns: SheetColumn[];
  /** Headings that are there, and the unit that each gives. */
  given: ReadonlyMap<Heading, LengthUnit | undefined>;
  /** Headings that nobody here knows and that are left out, as they were written. */
  others: string[];
  /** Headings that are there more than once; the first counts where nobody chose. */
  twice: string[];
  /** The first row that is separated in another way than the headings: its number. */
  mixed: number | undefined;
}

/** What somebody chose for a column: a heading, or '' to leave it out. */
export type Chosen = Readonly<Record<number, Heading | ''>>;

const SEPARATORS = ['\t', ';', ','];

/** Reads comma, semicolon or tab separated text, quoted or not; cells copied from any spreadsheet are the latter. */
export function readCells(text: string, chosen: Chosen = {}, all: readonly Known[] = headings): Cells {
  const { data, meta } = Papa.parse<string[]>(text.replace(/^\uFEFF/, ''), { delimitersToGuess: SEPARATORS });
  const rows = data.map((row, at) => ({ row: at + 1, cells: row.map(plainCell) }));
  const [head, ...rest] = rows.filter(({ cells }) => cells.some((cell) => cell !== ''));
  const places = new Map<Heading, number>();
  const given = new Map<Heading, LengthUnit | undefined>();
  const columns: SheetColumn[] = [];
  const twice: string[] = [];
  const written = head?.cells ?? [];
  // What somebody chose comes first: it takes a heading away from the column that only happens to be written so.
  const order = written.map((_, at) => at).sort((a, b) => Number(b in chosen) - Number(a in chosen) || a - b);
  for (const at of order) {
    const text = written[at] ?? '';
    if (text === '' && !(at in chosen) && rest.every(({ cells }) => (cells[at] ?? '') === '')) continue;
    const known = headingOf(text, all);
    const heading = chosen[at] ?? known?.heading ?? '';
    const isTaken = heading !== '' && places.has(heading);
    if (isTaken) twice.push(text);
    if (heading !== '' && !isTaken) {
      places.set(heading, at);
      given.set(heading, known?.heading === heading ? known.unit : unitOf(text));
    }
    columns.push({ at, written: text, heading: isTaken ? '' : heading, asks: !known || isTaken || at in chosen });
  }
  columns.sort((a, b) => a.at - b.at);
  // Of two columns with one heading either may be the one that is meant.
  for (const column of columns) column.asks ||= columns.some((other) => other !== column && isSame(other, column, all));
  const others = columns
    .filter(({ heading, written }) => heading === '' && !headingOf(written, all))
    .map((c) => c.written);
  const lines = rest.map(({ row, cells }) => ({
    row,
    cell: (heading: Heading) => cells[places.get(heading) ?? -1] ?? '',
  }));
  const foreign = SEPARATORS.filter((each) => each !== meta.delimiter);
  const mixed = rest.find(
    ({ cells }) => written.length > 2 && cells.length === 1 && foreign.some((each) => cells[0]?.includes(each)),
  )?.row;
  return { lines, columns, given, others, twice, mixed };
}

function isSame(a: SheetColumn, b: SheetColumn, all: readonly Known[]): boolean {
  const heading = headingOf(a.written, all)?.heading;
  return heading !== undefined && heading === headingOf(b.written, all)?.heading;
}

/** A cell without spaces around it, and without the mark by which an export keeps a text from being run as a formula. */
function plainCell(cell: string): string {
  return cell.trim().replace(/^'(?=[=+\-@])/, '');
}

/** A formula that came in place of its result, or one whose result is an error. */
export function isFormula(text: string): boolean {
  return /^=|^#(?:DIV\/0!|N\/A|NAME\?|NULL!|NUM!|REF!|VALUE!|SPILL!)/.test(text);
}

/** "Length (m)", "length_m" and "Largo en m" are one heading with one unit. */
function headingOf(
  written: string,
  all: readonly Known[],
): { heading: Heading; unit: LengthUnit | undefined } | undefined {
  const words = wordsOf(written);
  const unit = unitOf(written);
  const name = (unit ? words.slice(0, -1) : words).join(' ');
  const heading = all.find(({ names }) => names.includes(name))?.heading;
  return heading && { heading, unit };
}

function wordsOf(written: string): string[] {
  return fold(written)
    .split(/[^a-z0-9]+/)
    .filter((word) => word !== '' && word !== 'en');
}

function unitOf(written: string): LengthUnit | undefined {
  const last = wordsOf(written).at(-1) ?? '';
  return isUnit(last) ? last : undefined;
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

/** Which of two numbers of a date comes first: what a column of dates shows by itself, both where its rows contradict each other. */
export type DayOrder = 'day' | 'month' | 'both' | 'open';

const SLASHED = /^(\d{1,2})([/-])(\d{1,2})\2(\d{4})$/;

/** @returns undefined where no date is written with two numbers that could be either */
export function dayOrderOf(texts: readonly string[]): DayOrder | undefined {
  const found = texts.flatMap((text) => {
    const [, a, , b] = SLASHED.exec(text) ?? [];
    return a && b ? [Number(a) > 12 ? 'day' : Number(b) > 12 ? 'month' : 'open'] : [];
  });
  if (found.length === 0) return undefined;
  if (found.includes('day') && found.includes('month')) return 'both';
  return found.includes('day') ? 'day' : found.includes('month') ? 'month' : 'open';
}

/** No lot that anybody grows is older; spreadsheets write a time without a date as a day of 1899 or 1900. */
const FIRST_DAY = '1950-01-01';

/**
 * A day as "2026-03-14". "14.3.2026" is read too, since with points the day always comes first; 3/4/2026 is two
 * different days in two countries, and is refused unless somebody said which number is the day.
 */
export function dayIn(text: string, order: DayOrder = 'open'): string | undefined {
  const [, day, month, year] = /^(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})$/.exec(text) ?? [];
  const [, first, , second, of] = SLASHED.exec(text) ?? [];
  const two = (digits = '') => digits.padStart(2, '0');
  let iso = text;
  if (year) iso = `${year}-${two(month)}-${two(day)}`;
  else if (of && order === 'day') iso = `${of}-${two(second)}-${two(first)}`;
  else if (of && order === 'month') iso = `${of}-${two(first)}-${two(second)}`;
  return isDay(iso) && iso >= FIRST_DAY ? iso : undefined;
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
  if (first === 0xfe && second === 0xff) return new TextDecoder('utf-16be').decode(bytes);
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}
