/** Numbers, days and codes as people type them: read, held against the schema's limits, and put into words. */
import { checkField, limitOf } from '../../../schema/check';
import type { Kind } from '../../../schema/types';
import { parse, read, roundHalfUp, show, type Decimal, type Typed } from '../../../sync/unit/unit';
import { appWords, units } from '../words';
import { distanceUnit, inDistance, locale, number } from '../words/format';
import { workWords } from '../words/rooms';

/** What a field says: the value to write down, or what is wrong with it, and what to look at again. */
export interface Answer<T> {
  value?: T;
  problem?: string;
  hint?: string;
}

/** How a number is typed, as against how it is written down. */
export type Measure =
  | 'count'
  | 'length'
  /** Metres or feet, of what is walked along. */
  | 'ground'
  | 'temperature'
  | 'ph'
  | 'ec_ms'
  | 'ec_us'
  | 'light'
  | 'light_fc'
  | 'humidity'
  | 'hours'
  | 'percent'
  | 'money'
  | 'points'
  | 'logit';

interface Way {
  read: (text: string) => Typed<number>;
  /** A value that is written down, as it is typed, without its sign. */
  show: (kept: number) => string;
  sign: string;
}

/** Typed decimals written down as whole numbers: pH 5.24 as 524 hundredths has 2 places. */
const PLACES = {
  ph: 2,
  ec_ms: 3,
  humidity: 2,
  percent: 2,
  money: 2,
  points: 2,
  logit: 3,
  ec_us: 0,
  light: 0,
  light_fc: 0,
  hours: 0,
  count: 0,
} as const;
const SIGNS = {
  ph: '',
  ec_ms: 'mS/cm',
  ec_us: 'µS/cm',
  light: 'µmol/m²s',
  light_fc: 'fc',
  humidity: '%',
  percent: '%',
  money: '',
  points: '',
  logit: '',
  hours: 'h',
  count: '',
} as const;

export function wayOf(measure: Measure): Way {
  if (measure === 'length' || measure === 'temperature') {
    const unit = measure === 'length' ? units.value.length : units.value.temperature;
    const signs = { cm: appWords.value.common.centimetre, in: appWords.value.common.inch, C: '°C', F: '°F' };
    return {
      read: (text) => read(text, unit),
      show: (kept) => show(kept, unit, decimalMark()).replace(/[.,]0$/, ''),
      sign: signs[unit],
    };
  }
  if (measure === 'ground') {
    return {
      read: (text) => inMillimetres(parse(text), units.value.length === 'in'),
      show: (kept) => number(inDistance(kept), shortest(Math.round(inDistance(kept) * 100), 2)),
      sign: distanceUnit(),
    };
  }
  const places = PLACES[measure];
  return {
    read: (text) => scaled(parse(text), places),
    show: (kept) => number(kept / 10 ** places, shortest(kept, places)),
    sign: SIGNS[measure],
  };
}

/** A value as it is typed; empty where there is none. */
export function shownAmount(kept: number | null | undefined, measure: Measure): string {
  return kept === undefined || kept === null ? '' : wayOf(measure).show(kept);
}

/** A value with its sign: "5.2", "16 cm", "1.15 mS/cm". */
export function withSign(kept: number, measure: Measure): string {
  const way = wayOf(measure);
  return way.sign === '' ? way.show(kept) : `${way.show(kept)}\u202f${way.sign}`;
}

function inMillimetres(typed: Typed<Decimal>, isFeet: boolean): Typed<number> {
  if (!typed.ok) return typed;
  const { digits, places } = typed.value;
  const tenths = BigInt(digits) * (isFeet ? 3048n : 10_000n);
  return { ok: true, value: Number(roundHalfUp(tenths, 10n ** BigInt(places + 1))) };
}

function scaled(typed: Typed<Decimal>, places: number): Typed<number> {
  if (!typed.ok) return typed;
  const { digits, places: typedPlaces } = typed.value;
  return { ok: true, value: Number(roundHalfUp(BigInt(digits) * 10n ** BigInt(places), 10n ** BigInt(typedPlaces))) };
}

function shortest(kept: number, places: number): number {
  let digits = places;
  for (let left = kept; digits > 0 && left % 10 === 0; left /= 10) digits--;
  return digits;
}

/** The mark between whole and part, as the reader writes numbers. */
export function decimalMark(): '.' | ',' {
  return new Intl.NumberFormat(locale()).format(1.5).includes(',') ? ',' : '.';
}

/**
 * Whether a typed number may have a thousands mark: "1,200" where a point is the decimal mark. To `parse` that is 1.2, and
 * a mix of 1.2 ppm is not what somebody wanted who typed it.
 */
export function mayBeThousands(text: string): boolean {
  const thousands = decimalMark() === '.' ? ',' : '\\.';
  return new RegExp(`^[-−+]?[1-9]\\d{0,2}${thousands}\\d{3}$`).test(text.trim());
}

/** Asks which number was meant, since either may be. */
function twoWays(text: string, name: string): string {
  const typed = text.trim();
  return workWords.value.work.typed.twoWays(
    name,
    typed,
    typed.replace(/[.,]/, ''),
    typed.replace(/[.,]/, decimalMark()),
  );
}

/** A bare number that is written down nowhere, as for arithmetic. Empty is no value. */
export function plainNumber(text: string, name: string): Answer<number> {
  const typed = parse(text);
  if (!typed.ok) return typed.code === 'empty' ? {} : { problem: workWords.value.work.typed.noNumber(name) };
  if (mayBeThousands(text)) return { problem: twoWays(text, name) };
  return { value: typed.value.digits / 10 ** typed.value.places };
}

interface Asked {
  kind: Kind;
  field: string;
  name: string;
  measure: Measure;
  /** An empty field is a missing value, not one left out. */
  must?: boolean;
  /** Narrower limits than the schema's. */
  within?: readonly [min: number, max: number];
}

/** Reads a typed number. Empty is no value; a value outside the schema's limits is a problem with its remedy. */
export function amount(text: string, { kind, field, name, measure, must, within }: Asked): Answer<number> {
  const words = workWords.value.work.typed;
  const way = wayOf(measure);
  const typed = way.read(text);
  if (!typed.ok && typed.code === 'empty') return must ? { problem: words.missing(name) } : {};
  if (!typed.ok && typed.code !== 'too_long') return { problem: words.noNumber(name) };
  if (typed.ok && measure === 'count' && !isWhole(text)) {
    const whole = /^\+?([1-9]\d{0,2})[.,](\d{3})$/.exec(text.trim());
    // A count has no decimals, so that either mark before three digits stands between thousands.
    return { problem: whole ? words.noThousands(name, `${whole[1]}${whole[2]}`) : words.whole(name) };
  }
  if (typed.ok && mayBeThousands(text)) return { problem: twoWays(text, name) };
  const breach = typed.ok ? checkField(kind, field, typed.value) : undefined;
  const isWithin = !within || (typed.ok && typed.value >= within[0] && typed.value <= within[1]);
  if (typed.ok && !breach && isWithin) return { value: typed.value };
  if (breach?.code === 'zero') return { problem: words.zero(name) };
  const limit = limitOf(kind, field);
  const [min, max] = within ?? [limit?.min ?? 0, limit?.max ?? 0];
  return { problem: words.range(name, way.show(min), withSign(max, measure), text.trim()) };
}

/** A number above 0 of pots, for fields that are written down with a sign of their own (changes, legs). */
export function potsTyped(text: string, name: string, must = true): Answer<number> {
  const typed = amount(text, { kind: 'recount', field: 'counted', name, measure: 'count', must });
  return typed.value === 0 && must ? { problem: workWords.value.work.typed.zero(name) } : typed;
}

function isWhole(text: string): boolean {
  const typed = parse(text);
  return typed.ok && typed.value.places === 0;
}

// schema/rules.go has the same; the test beside this file holds them together.
export const TAG = /^[0-9A-Za-z][0-9A-Za-z ._/-]*$/;

export function tagTyped(text: string, name: string): Answer<string> {
  const words = workWords.value.work.typed;
  const tag = tidyTag(text);
  if (tag === '') return { problem: words.missing(name) };
  const most = limitOf('lot', 'tag')?.maxLength ?? 0;
  if ([...tag].length > most) return { problem: words.tooLong(name, most) };
  return TAG.test(tag) ? { value: tag } : { problem: words.tagForm(name) };
}

export function tidyTag(text: string): string {
  return text.trim().replace(/\s+/g, ' ');
}

/** Words of a field; empty is left out. */
export function wordsTyped(text: string, kind: Kind, field: string, name: string, must = false): Answer<string> {
  const trimmed = text.trim();
  if (trimmed === '') return must ? { problem: workWords.value.work.typed.missing(name) } : {};
  const breach = checkField(kind, field, trimmed);
  return breach?.code === 'too_long'
    ? { problem: workWords.value.work.typed.tooLong(name, breach.limit.maxLength ?? 0) }
    : { value: trimmed };
}

/** A field's value under its name, or nothing at all where there is none: a value left out is never written. */
export function given<K extends string, T>(name: K, answer: Answer<T>): Partial<Record<K, T>> {
  return answer.value === undefined ? {} : ({ [name]: answer.value } as Record<K, T>);
}

/** All problems of some answers, in order. */
export function problemsOf(answers: readonly Answer<unknown>[]): string[] {
  return answers.flatMap(({ problem }) => problem ?? []);
}
