/**
 * Units that people read and type, to and from the whole numbers that are stored (mm, tenths of a degree Celsius, mL).
 * The twin of the Go package beside it: whole numbers only, rounded half up by one function, constants exact by definition.
 */

export type Unit = 'mm' | 'cm' | 'in' | 'C' | 'F' | 'L' | 'gal';
export type Mark = '.' | ',';

/** A typed number, exact: digits over ten to the power of places. */
export interface Decimal {
  digits: number;
  places: number;
}

/** Why a typed number was refused; screens have a sentence for each. */
type Refusal = 'empty' | 'no_number' | 'two_marks' | 'too_long';

export type Typed<T> = { ok: true; value: T } | { ok: false; code: Refusal };

interface Scale {
  /** kept = typed * up/down + plus/down */
  up: bigint;
  down: bigint;
  plus: bigint;
  /** Digits shown after the mark. */
  places: number;
}

const SCALES: Readonly<Record<Unit, Scale>> = {
  mm: { up: 1n, down: 1n, plus: 0n, places: 0 },
  cm: { up: 10n, down: 1n, plus: 0n, places: 1 },
  in: { up: 254n, down: 10n, plus: 0n, places: 1 },
  C: { up: 10n, down: 1n, plus: 0n, places: 1 },
  F: { up: 50n, down: 9n, plus: -1600n, places: 0 },
  L: { up: 1000n, down: 1n, plus: 0n, places: 1 },
  gal: { up: 3785411784n, down: 1000000n, plus: 0n, places: 1 },
};

const LARGEST = 999_999_999;
const MOST_PLACES = 6;

/** num/den rounded to the nearest whole number, halves upward (2.5 is 3, -2.5 is -2); den above 0. */
export function roundHalfUp(num: bigint, den: bigint): bigint {
  const top = 2n * num + den;
  const bottom = 2n * den;
  const q = top / bottom;
  return top % bottom !== 0n && top < 0n ? q - 1n : q;
}

/** A number as people type it: digits, one comma or point (no thousands mark), a sign before, spaces around. */
export function parse(text: string): Typed<Decimal> {
  const trimmed = text.trim();
  const minus = /^[-−]/.test(trimmed);
  const body = trimmed.replace(/^[-−+]/, '');
  if (body === '') return { ok: false, code: 'empty' };
  let digits = 0;
  let places = 0;
  let seen = 0;
  let marks = 0;
  for (const c of body) {
    if (c === ',' || c === '.') {
      marks++;
    } else if (c >= '0' && c <= '9') {
      seen++;
      if (marks > 0) places++;
      digits = 10 * digits + Number(c);
      if (digits > LARGEST || places > MOST_PLACES) return { ok: false, code: 'too_long' };
    } else {
      return { ok: false, code: 'no_number' };
    }
  }
  if (marks > 1) return { ok: false, code: 'two_marks' };
  if (seen === 0) return { ok: false, code: 'no_number' };
  return { ok: true, value: { digits: minus && digits !== 0 ? -digits : digits, places } };
}

/** A typed number as the whole number that is stored. */
function toKept(d: Decimal, unit: Unit): number {
  const s = SCALES[unit];
  const ten = 10n ** BigInt(d.places);
  return Number(roundHalfUp(BigInt(d.digits) * s.up + s.plus * ten, s.down * ten));
}

/** Text in a unit as the whole number that is stored. */
export function read(text: string, unit: Unit): Typed<number> {
  const d = parse(text);
  return d.ok ? { ok: true, value: toKept(d.value, unit) } : d;
}

/** A kept whole number in a unit, with its usual digits and the given decimal mark; the unit's sign is not added. */
export function show(kept: number, unit: Unit, mark: Mark): string {
  const s = SCALES[unit];
  const ten = 10n ** BigInt(s.places);
  const shown = roundHalfUp((BigInt(kept) * s.down - s.plus) * ten, s.up);
  if (s.places === 0) return String(shown);
  const size = shown < 0n ? -shown : shown;
  return `${shown < 0n ? '-' : ''}${size / ten}${mark}${String(size % ten).padStart(s.places, '0')}`;
}

/** A kept value that may be a mean, so not whole, in a unit and not rounded. */
export function fromKept(kept: number, unit: Unit): number {
  const s = SCALES[unit];
  return (kept * Number(s.down) - Number(s.plus)) / Number(s.up);
}
