/** A logger's file: the moments and temperatures in it, or what has to be asked or put right first. Nothing is half taken in. */
import { roundHalfUp, parse } from '../../../../../sync/unit/unit';
import { limits } from '../../../../../schema/limits';
import type { TracePart } from '../../../../../schema/types';
import type { Column, Degrees, LineProblem, LoggerLine, LoggerLines } from './loggerLines';
import { ClockFace, wallOf, type Clock } from './loggerTimes';
import { PIECE, type InPieces } from './pieces';

export interface Answers {
  clock?: Clock | undefined;
  unit?: Degrees | undefined;
  /** Whether 3/4/2027 is 3 April. */
  dayFirst?: boolean | undefined;
  time?: number | undefined;
  temp?: number | undefined;
  /** The person said that temperatures which look like the other unit are right. */
  sure?: boolean | undefined;
}

export type Ask = 'time' | 'temp' | 'order' | 'unit' | 'clock' | 'sure';

export type Problem =
  | LineProblem
  | { code: 'no_such_day' | 'order_mixed' | 'no_such_time' | 'future' | 'long_ago' | 'few'; line: number; said: string }
  | { code: 'clash'; line: number; said: string; other: number };

/** A moment (ms since 1970) and a temperature (tenths of a degree C). */
export type Value = readonly [at: number, dc: number];

export interface Reading {
  asks: Ask[];
  times: Column[];
  temps: Column[];
  problem?: Problem;
  unit?: Degrees;
  /** A day of the file that may be read two ways, where that is asked. */
  orderOf: string;
  /** In order of time, each moment once. */
  values: Value[];
  /** Lines without a temperature that a logger can read, and the first of them; lines that repeat another. */
  empty: number;
  firstEmpty: number;
  twice: number;
  /** Lines after the last value, which are left out. */
  after?: LoggerLines['after'];
  /** Seconds from one value to the next, as a rule. */
  every: number;
}

const HEAT = limits.trace['parts[].dc[]'];
const STEP = limits.trace['parts[].every_s'];
/** No note has more values, in all its parts (schema.MaxTraceValues), than one part may have. */
const MOST_VALUES = limits.trace['parts[].dc'].maxLength;
/** Half the values at or over 28 degrees C: more likely degrees F. Under 20 degrees F: more likely degrees C. Assumptions of this project. */
const LOOKS_F_DC = 280;
const LOOKS_C_DC = -67;
const DAY = 86_400_000;

/** @param read the lines of the file, by the columns that were answered */
export function* readLogger(read: LoggerLines, answers: Answers, zone: string, now: number): InPieces<Reading> {
  const none: Reading = {
    asks: [],
    times: [],
    temps: [],
    orderOf: '',
    values: [],
    empty: 0,
    firstEmpty: 0,
    twice: 0,
    every: 0,
  };
  const { times, temps } = read;
  const unit = read.unit ?? answers.unit;
  const begun = { ...none, times, temps, ...(unit ? { unit } : {}), ...(read.after ? { after: read.after } : {}) };
  if (read.problem) return { ...begun, problem: read.problem };
  const asks: Ask[] = [
    ...(times.length > 0 ? (['time'] as const) : []),
    ...(temps.length > 0 ? (['temp'] as const) : []),
  ];
  if (read.lines.length === 0) return { ...begun, asks };
  const order = orderOf(read.lines);
  if (typeof order === 'object') return { ...begun, asks, problem: order };
  if (order === 'ask') {
    asks.push('order');
    begun.orderOf = read.lines.find(({ written }) => written.order === 'not known')?.time ?? '';
  }
  if (!read.unit) asks.push('unit');
  const isTold = read.lines.every(({ written }) => written.offset !== undefined);
  if (!isTold) asks.push('clock');
  const dayFirst = order === 'ask' ? answers.dayFirst : order === 'day first';
  const clock = isTold ? 'utc' : answers.clock;
  if (dayFirst === undefined || !unit || !clock) return { ...begun, asks };
  const moments = yield* momentsOf(read.lines, dayFirst, clock, zone, now);
  if (!Array.isArray(moments)) return { ...begun, asks, problem: moments };
  const taken = yield* valuesOf(moments, unit);
  if (taken.problem) return { ...begun, asks, problem: taken.problem };
  const all = { ...begun, asks, ...taken };
  if (looksOther(taken.values, unit)) {
    asks.push('sure');
    if (!answers.sure) return { ...all, values: [] };
  }
  return all;
}

/** What is still to be answered before anything can be shown. */
export function isOpen(reading: Reading): boolean {
  return reading.problem === undefined && reading.values.length === 0;
}

/** Which of two numbers is the month: told by any line in which one of them is over 12. */
function orderOf(lines: readonly LoggerLine[]): 'day first' | 'month first' | 'ask' | Problem {
  let order: 'day first' | 'month first' | undefined;
  let isOpenYet = false;
  for (const { line, written, time } of lines) {
    if (written.order !== 'not known') continue;
    isOpenYet = true;
    const told = written.first > 12 ? 'day first' : written.second > 12 ? 'month first' : undefined;
    if (told && order && told !== order) return { code: 'order_mixed', line, said: time };
    order ??= told;
  }
  return order ?? (isOpenYet ? 'ask' : 'day first');
}

interface Moment {
  line: LoggerLine;
  at: number;
}

/** Moments in order of time. Of the hour that comes twice, the order of the lines says which is which. */
function* momentsOf(
  given: readonly LoggerLine[],
  dayFirst: boolean,
  clock: Clock,
  zone: string,
  now: number,
): InPieces<Moment[] | Problem> {
  const walls: { line: LoggerLine; wall: number }[] = [];
  let [rises, falls] = [0, 0];
  for (const line of given) {
    const wall = wallOf(line.written, dayFirst);
    if (wall === undefined) return { code: 'no_such_day', line: line.line, said: line.time };
    const before = walls.at(-1)?.wall ?? wall;
    if (wall > before) rises++;
    else if (wall < before) falls++;
    walls.push({ line, wall });
    if (walls.length % PIECE === 0) yield walls.length / given.length / 3;
  }
  // Some loggers write their newest value first.
  if (falls > rises) walls.reverse();
  let [first, last] = [Infinity, -Infinity];
  for (const { wall } of walls) [first, last] = [Math.min(first, wall), Math.max(last, wall)];
  const face = new ClockFace(clock, zone, first, last);
  const all: Moment[] = [];
  for (const { line, wall } of walls) {
    const { offset } = line.written;
    const may = offset === undefined ? face.momentsOf(wall) : [wall - offset * 60_000];
    const before = all.at(-1)?.at ?? -Infinity;
    const at = may.find((each) => each > before) ?? may.at(-1);
    if (at === undefined) return { code: 'no_such_time', line: line.line, said: line.time };
    if (at > now + DAY) return { code: 'future', line: line.line, said: line.time };
    if (at < Date.UTC(2000, 0, 1)) return { code: 'long_ago', line: line.line, said: line.time };
    all.push({ line, at });
    if (all.length % PIECE === 0) yield (1 + all.length / given.length) / 3;
  }
  return all.sort((a, b) => a.at - b.at);
}

interface Taken extends Pick<Reading, 'values' | 'empty' | 'firstEmpty' | 'twice' | 'every'> {
  problem?: Problem;
}

function* valuesOf(moments: readonly Moment[], unit: Degrees): InPieces<Taken> {
  const taken: Taken = { values: [], empty: 0, firstEmpty: 0, twice: 0, every: 0 };
  let before: LoggerLine | undefined;
  // A logger writes the same few hundred numbers again and again.
  const known = new Map<string, number | undefined>();
  for (const [i, { line, at }] of moments.entries()) {
    if (i % PIECE === 0) yield (2 + i / moments.length) / 3;
    if (!known.has(line.temp)) known.set(line.temp, tenths(line.temp, unit));
    const dc = known.get(line.temp);
    if (dc === undefined || dc < HEAT.min || dc > HEAT.max) {
      taken.empty++;
      taken.firstEmpty = Math.min(taken.firstEmpty || line.line, line.line);
      continue;
    }
    const last = taken.values.at(-1);
    if (last?.[0] === at) {
      const problem = { code: 'clash', line: line.line, said: line.time, other: before?.line ?? 0 } as const;
      if (last[1] !== dc) return { ...taken, values: [], problem };
      taken.twice++;
      continue;
    }
    before = line;
    taken.values.push([at, dc]);
  }
  if (taken.values.length < 2) {
    const [one] = moments;
    return { ...taken, values: [], problem: { code: 'few', line: one?.line.line ?? 1, said: one?.line.temp ?? '' } };
  }
  return { ...taken, every: stepOf(taken.values) };
}

/** Tenths of a degree C, halves upward. */
function tenths(text: string, unit: Degrees): number | undefined {
  const typed = parse(text);
  if (!typed.ok) return undefined;
  const { digits, places } = typed.value;
  const ten = 10n ** BigInt(places);
  if (unit === 'C') return Number(roundHalfUp(BigInt(digits) * 10n, ten));
  return Number(roundHalfUp(BigInt(digits) * 50n - 1600n * ten, 9n * ten));
}

function stepOf(values: readonly Value[]): number {
  const steps = new Float64Array(values.length - 1);
  for (const i of steps.keys()) steps[i] = (values[i + 1] as Value)[0] - (values[i] as Value)[0];
  steps.sort();
  const middle = steps[Math.floor((steps.length - 1) / 2)] as number;
  return Math.min(STEP.max, Math.max(STEP.min, Math.round(middle / 1000)));
}

function looksOther(values: readonly Value[], unit: Degrees): boolean {
  const all = Float64Array.from(values, ([, dc]) => dc).sort();
  const middle = all[Math.floor(all.length / 2)] as number;
  return unit === 'C' ? middle >= LOOKS_F_DC : middle <= LOOKS_C_DC;
}

/** Values at even steps: each within a tenth of a step of where it belongs. Anything else begins a new part. */
export function partsOf(values: readonly Value[], every: number): TracePart[] {
  const parts: TracePart[] = [];
  const step = every * 1000;
  for (const [at, dc] of values) {
    const part = parts.at(-1);
    const due = part && part.at + part.dc.length * step;
    if (part && due !== undefined && Math.abs(at - due) <= step / 10 && part.dc.length < MOST_VALUES) part.dc.push(dc);
    else {
      // A part begins after the one before, also where that one ran a little ahead of its values.
      const after = part ? part.at + (part.dc.length - 1) * step + 1 : at;
      parts.push({ at: Math.max(at, after), every_s: every, dc: [dc] });
    }
  }
  return parts;
}

/** Parts in as many notes as they need: one holds 4,000 values in 500 parts at most. */
export function shared(parts: readonly TracePart[]): TracePart[][] {
  const notes: TracePart[][] = [];
  let room = 0;
  for (const part of parts) {
    const note = notes.at(-1);
    if (note && note.length < limits.trace.parts.maxLength && part.dc.length <= room) note.push(part);
    else {
      notes.push([part]);
      room = MOST_VALUES;
    }
    room -= part.dc.length;
  }
  return notes;
}
