/** The text of a logger's file as lines of a time and a temperature, whichever of the usual shapes it has. */
import Papa from 'papaparse';
import { parse } from '../../../../../sync/unit/unit';
import { readMoment, readTime, type Written } from './loggerTimes';
import { PIECE, type InPieces } from './pieces';

export type Degrees = 'C' | 'F';

/** One line of values: when, as it is written, and the temperature's digits without their sign. */
export interface LoggerLine {
  /** Its number in the file, from 1. */
  line: number;
  written: Written;
  time: string;
  temp: string;
}

/** A column that can be chosen, by its heading or else its number. */
export interface Column {
  at: number;
  name: string;
}

export interface LoggerLines {
  lines: LoggerLine[];
  /** What the file says its temperatures are in. */
  unit?: Degrees;
  /** More than one time in a line, or column that may be the temperature: somebody has to choose. */
  times: Column[];
  temps: Column[];
  /** What stands after the last line of values, where anything does: how many lines, and the first of them. */
  after?: { count: number; line: number; said: string };
  problem?: LineProblem;
}

export type LineProblem =
  | { code: 'too_large'; most: number }
  | { code: 'no_values' }
  | { code: 'no_time_of_day' | 'no_temps'; line: number; said: string }
  | { code: 'columns'; line: number; cells: number; headings: number }
  | { code: 'separators' | 'no_time'; line: number; said: string };

export interface Chosen {
  time?: number | undefined;
  temp?: number | undefined;
}

type Row = string[];

const SEPARATORS = ['\t', ';', ','] as const;
const TRIED = 400;
export const MOST_CHARACTERS = 30_000_000;
/** Headings of what loggers write down besides temperatures. */
const OTHER = /hum|\brh\b|%|dew|co2|lux|light|luz|bat|volt|^#|^no\.?$|^nr|^id$|index|serial|event|marker/i;
const HEAT = /temp|°|celsius|fahrenheit|^\(?[cf]\)?$/i;

export function* readLines(text: string, chosen: Chosen): InPieces<LoggerLines> {
  if (text.length > MOST_CHARACTERS)
    return { lines: [], times: [], temps: [], problem: { code: 'too_large', most: MOST_CHARACTERS / 1_000_000 } };
  const source = text.replace(/^\uFEFF/, '').split(/\r\n|\r|\n/);
  const separator = separatorOf(source.slice(0, TRIED));
  const rows: Row[] = [];
  let first = -1;
  for (const line of source) {
    const row = cellsOf(line, separator);
    if (first < 0 && hasValues(row)) first = rows.length;
    rows.push(row);
    if (rows.length % PIECE === 0) yield rows.length / source.length / 2;
  }
  if (first < 0) return { lines: [], times: [], temps: [], problem: noValues(source, rows) };
  const some = rows.slice(first, first + TRIED).filter(hasValues);
  const head = headOf(rows, first);
  const named = (at: number): Column => ({ at, name: head[at] || String(at + 1) });
  const wide = Math.max(...some.map((row) => row.length));
  const columns = Array.from({ length: wide }, (_, at) => at);
  const share = (at: number, is: (cell: string) => boolean) =>
    some.filter((row) => is(row[at] ?? '')).length / some.length;
  const whole = columns.filter((at) => share(at, isWhole) > 0.5);
  const days = columns.filter((at) => share(at, isDay) > 0.5);
  const clocks = columns.filter((at) => share(at, (cell) => readTime(cell) !== undefined) > 0.5);
  const whens = [...whole.map((at): When => ({ at })), ...apart(days, clocks)];
  const when = whens.length === 1 ? whens[0] : whens.find(({ at }) => at === chosen.time);
  const taken = new Set([...whole, ...days, ...clocks]);
  const numbers = columns.filter((at) => !taken.has(at) && !OTHER.test(head[at] ?? '') && share(at, isNumber) > 0.25);
  const heat = numbers.filter((at) => isHeat(head[at] ?? ''));
  // Of a sensor that was silent for most of these lines the heading alone says that it is one of heat.
  const seldom = columns.filter((at) => !taken.has(at) && isHeat(head[at] ?? '') && share(at, isNumber) > 0);
  const may = heat.length > 0 ? heat : numbers.length > 0 ? numbers : seldom;
  const temp = may.length === 1 ? may[0] : may.find((at) => at === chosen.temp);
  const nameOf = ({ at, day }: When) => (day === undefined ? '' : `${named(day).name}, `) + named(at).name;
  const times = whens.length > 1 ? whens.map((each) => ({ at: each.at, name: nameOf(each) })) : [];
  const temps = may.length > 1 ? may.map(named) : [];
  const begun = { lines: [], times, temps };
  if (may.length === 0) return { ...begun, problem: noValues(source, rows) };
  if (!when) {
    if (whens.length > 1) return begun;
    return { ...begun, problem: { code: 'no_time_of_day', line: first + 1, said: source[first] ?? '' } };
  }
  if (temp === undefined) return begun;
  const timeOf = (row: Row) => (when.day === undefined ? '' : `${row[when.day] ?? ''} `) + (row[when.at] ?? '');
  const unit = unitOf(
    head[temp] ?? '',
    some.map((row) => row[temp] ?? ''),
    source.slice(0, first),
  );
  return { ...begun, ...(unit ? { unit } : {}), ...(yield* taking(source, rows, first, head, timeOf, temp)) };
}

/** Takes each line of values; what stands before and after them is the file's own remark, unless it is values between other separators. */
function* taking(
  source: string[],
  rows: Row[],
  first: number,
  head: Row,
  timeOf: (row: Row) => string,
  temp: number,
): InPieces<Pick<LoggerLines, 'lines' | 'after' | 'problem'>> {
  const lines: LoggerLine[] = [];
  const isValue = (said: string) =>
    SEPARATORS.map((each) => cellsOf(said, each)).some((row) => isWhole(timeOf(row)) && isNumber(row[temp] ?? ''));
  if (source.slice(0, first).some(isValue)) {
    return { lines, problem: { code: 'separators', line: first + 1, said: source[first] ?? '' } };
  }
  const last = rows.findLastIndex(hasValues);
  for (let at = first; at <= last; at++) {
    if (at % PIECE === 0) yield (1 + at / rows.length) / 2;
    const row = rows[at] as Row;
    if (row.every((cell) => cell === '')) continue;
    const line = at + 1;
    if (head.length > 0 && row.findLastIndex((cell) => cell !== '') >= head.length) {
      return { lines, problem: { code: 'columns', line, cells: row.length, headings: head.length } };
    }
    const time = timeOf(row).trim();
    const written = readMoment(time);
    if (written?.seconds === undefined) {
      const said = source[at] ?? '';
      const code = SEPARATORS.some((other) => hasValues(cellsOf(said, other))) ? 'separators' : 'no_time';
      return { lines, problem: { code, line, said } };
    }
    lines.push({ line, written, time, temp: bare(row[temp] ?? '') });
  }
  let after: LoggerLines['after'];
  for (let at = last + 1; at < source.length; at++) {
    const said = source[at] ?? '';
    if (isValue(said)) return { lines, problem: { code: 'separators', line: at + 1, said } };
    if (said.trim() !== '') after = { line: at + 1, said, ...after, count: (after?.count ?? 0) + 1 };
  }
  return { lines, ...(after ? { after } : {}) };
}

function cellsOf(line: string, separator: string): Row {
  if (!line.includes('"')) return line.split(separator).map((cell) => cell.trim());
  return (Papa.parse<string[]>(line, { delimiter: separator }).data[0] ?? []).map((cell) => cell.trim());
}

/** The separator by which most lines have a time and a number; where none has both, a time. */
function separatorOf(lines: string[]): string {
  for (const has of [hasValues, hasTime]) {
    const counts = SEPARATORS.map((each) => lines.filter((line) => has(cellsOf(line, each))).length);
    const most = Math.max(...counts);
    if (most > 0) return SEPARATORS[counts.indexOf(most)] ?? ',';
  }
  return ',';
}

/** The headings: the line before the first values, where it is one. */
function headOf(rows: Row[], first: number): Row {
  const above = rows.slice(0, first).findLast((row) => row.some((cell) => cell !== ''));
  const isHead = above !== undefined && above.length > 1 && above.some((cell) => /\p{L}/u.test(cell));
  if (!isHead) return [];
  return above.slice(0, above.findLastIndex((cell) => cell !== '') + 1);
}

function hasValues(row: Row): boolean {
  return row.some((cell) => isWhole(cell) || isDay(cell)) && row.some(isNumber);
}

/** The columns in which times stand: whole ones, or times of day whose days stand in another. */
interface When {
  at: number;
  day?: number | undefined;
}

/** Times of day and the days that they are of: each its own where there are as many, else all of the first. */
function apart(days: readonly number[], clocks: readonly number[]): When[] {
  if (days.length === 0) return [];
  return clocks.map((at, i) => ({ at, day: days.length === clocks.length ? days[i] : days[0] }));
}

/** A whole time, or a day and a time of day in two cells. */
function hasTime(row: Row): boolean {
  return row.some(isWhole) || (row.some(isDay) && row.some((cell) => readTime(cell) !== undefined));
}

function isHeat(heading: string): boolean {
  return HEAT.test(heading) && !OTHER.test(heading);
}

function isWhole(cell: string): boolean {
  return readMoment(cell)?.seconds !== undefined;
}

function isDay(cell: string): boolean {
  const read = readMoment(cell);
  return read !== undefined && read.seconds === undefined;
}

function isNumber(cell: string): boolean {
  return readMoment(cell) === undefined && parse(bare(cell)).ok;
}

/** A temperature without the sign of its unit. */
function bare(cell: string): string {
  return cell.replace(/\s*(?:°\s?[CF]?|[CF])$/i, '').trim();
}

function unitOf(heading: string, cells: string[], before: string[]): Degrees | undefined {
  const named = degreesIn(heading) ?? onlyOne(cells.map((cell) => /[\d\s°]([CF])$/i.exec(cell)?.[1]?.toUpperCase()));
  return named ?? onlyOne(before.map(degreesIn));
}

function degreesIn(words: string): Degrees | undefined {
  const isC = /°\s?C|celsius|[_(\s[]C\b|^C$|deg\.?\s?C\b|ºC/i.test(words);
  const isF = /°\s?F|fahrenheit|[_(\s[]F\b|^F$|deg\.?\s?F\b|ºF/i.test(words);
  if (isC === isF) return undefined;
  return isC ? 'C' : 'F';
}

function onlyOne(all: readonly (string | undefined)[]): Degrees | undefined {
  const said = new Set(all.filter((each) => each !== undefined));
  if (said.size !== 1) return undefined;
  return said.has('C') ? 'C' : 'F';
}

function noValues(source: string[], rows: Row[]): LineProblem {
  const timed = rows.findIndex(hasTime);
  if (timed >= 0) return { code: 'no_temps', line: timed + 1, said: source[timed] ?? '' };
  // A day and a number, but the time is written in a way that is not known here.
  const at = rows.findIndex((row) => row.some((cell) => /^\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}/.test(cell)));
  return at < 0 ? { code: 'no_values' } : { code: 'no_time', line: at + 1, said: source[at] ?? '' };
}
