/**
 * The one canonical form of a JSON value: RFC 8785, restricted to integers within +-(2^53 - 1) and to 16 levels (20 in a
 * record). The Go twin is canonical.go; both read fixtures/vectors/journal-*.json.
 */
import type { Record as Folded } from '../../schema/types';

export const MAX_DEPTH = 16;
/** The fold wraps records around parts of entries: a register's value beside another is four levels deeper there. */
const MAX_RECORD_DEPTH = MAX_DEPTH + 4;

export type Code =
  | 'not_utf8'
  | 'bad_json'
  | 'trailing_data'
  | 'duplicate_key'
  | 'not_integer'
  | 'out_of_range'
  | 'too_deep'
  | 'lone_surrogate';

const remedies: Record<Code, string> = {
  not_utf8: 'the text is not UTF-8; send it as UTF-8 without a byte order mark',
  bad_json: 'this is not JSON (RFC 8259); send one complete JSON value',
  trailing_data: 'something follows the JSON value; send one value only',
  duplicate_key: 'a name stands twice in one object; keep one of the two',
  not_integer: 'numbers must be integers without point, exponent or minus zero; use a smaller unit',
  out_of_range: 'numbers must lie within -9007199254740991 to 9007199254740991',
  too_deep: 'objects and arrays may lie 16 deep (20 in a record); flatten the value',
  lone_surrogate: 'half of a UTF-16 surrogate pair stands alone; send whole characters',
};

/** What is wrong with a value or a text, by a stable code, and what to do. */
export class JournalError extends Error {
  override readonly name = 'JournalError';
  readonly code: Code;

  constructor(code: Code, at?: number) {
    super(`${code}${at === undefined ? '' : ` at character ${at}`}: ${remedies[code]}`);
    this.code = code;
  }
}

/** Matches half a surrogate pair that is alone, and never a whole one. */
const lone = /\p{Surrogate}/u;

/** @throws JournalError for a number or a text with no canonical form */
export function canonical(value: unknown): string {
  return write(value, MAX_DEPTH);
}

/**
 * The same for a record, which may be deeper: every record of entries that the server merged by itself has this form.
 * @throws JournalError
 */
export function canonicalRecord(record: Folded): string {
  return write(record, MAX_RECORD_DEPTH);
}

/** @param levels how many more levels of objects and arrays may follow */
function write(value: unknown, levels: number): string {
  switch (typeof value) {
    case 'string':
      return text(value);
    case 'number':
      return integer(value);
    case 'boolean':
      return value ? 'true' : 'false';
    case 'object':
      if (value === null) return 'null';
      if (levels === 0) throw new JournalError('too_deep');
      return Array.isArray(value) ? list(value, levels - 1) : members(value as Record<string, unknown>, levels - 1);
    default:
      throw new JournalError('bad_json');
  }
}

function text(value: string): string {
  if (lone.test(value)) throw new JournalError('lone_surrogate');
  // JSON.stringify escapes just what RFC 8785 wants escaped: both follow ECMAScript.
  return JSON.stringify(value);
}

function integer(value: number): string {
  if (!Number.isInteger(value) || Object.is(value, -0)) throw new JournalError('not_integer');
  if (!Number.isSafeInteger(value)) throw new JournalError('out_of_range');
  return String(value);
}

function list(value: unknown[], levels: number): string {
  let out = '[';
  for (let i = 0; i < value.length; i++) out += (i > 0 ? ',' : '') + write(value[i], levels);
  return out + ']';
}

/** Members that are undefined are left out, as JSON does; names are sorted by UTF-16 units, as sort() does. */
function members(value: Record<string, unknown>, levels: number): string {
  let out = '{';
  for (const name of Object.keys(value).sort()) {
    const member = value[name];
    if (member === undefined) continue;
    out += `${out.length > 1 ? ',' : ''}${text(name)}:${write(member, levels)}`;
  }
  return out + '}';
}
