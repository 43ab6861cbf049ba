/**
 * A strict reader for texts from elsewhere (an exported file of unsent notes, a page of the journal): JSON.parse takes
 * the last of two equal names, rounds large numbers and accepts half characters, and each of these would change bytes
 * that were hashed. Go twin: scan.go.
 */
import { JournalError, MAX_DEPTH, type Code } from './canonical.ts';

/**
 * Reads one JSON value, strictly.
 * @throws JournalError with the same code as the Go twin
 */
export function parse(source: string | Uint8Array): unknown {
  const text = typeof source === 'string' ? source : decode(source);
  const reader = new Reader(text);
  reader.space();
  const value = reader.value();
  reader.space();
  if (reader.at < text.length) reader.fail('trailing_data');
  // Reported last: the Go twin finds it on sorting, after the whole text was read.
  if (reader.duplicateAt >= 0) throw new JournalError('duplicate_key', reader.duplicateAt);
  return value;
}

function decode(bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    throw new JournalError('not_utf8');
  }
}

const words: [string, unknown][] = [
  ['true', true],
  ['false', false],
  ['null', null],
];
const numberHere = /-?(?:0|[1-9][0-9]*)(\.[0-9]+)?([eE][+-]?[0-9]+)?/y;
const hexHere = /\\u([0-9a-fA-F]{4})/y;
const shortEscapes: Record<string, string> = {
  '"': '"',
  '\\': '\\',
  '/': '/',
  b: '\b',
  f: '\f',
  n: '\n',
  r: '\r',
  t: '\t',
};

class Reader {
  at = 0;
  duplicateAt = -1;
  private depth = 0;
  private readonly text: string;

  constructor(text: string) {
    this.text = text;
  }

  fail(code: Code): never {
    throw new JournalError(code, this.at);
  }

  space(): void {
    for (; this.at < this.text.length; this.at++) {
      const c = this.text.charCodeAt(this.at);
      if (c !== 0x20 && c !== 0x09 && c !== 0x0a && c !== 0x0d) return;
    }
  }

  value(): unknown {
    const c = this.text[this.at];
    if (c === '{') return this.object();
    if (c === '[') return this.array();
    if (c === '"') return this.string();
    if (c === '-' || (c !== undefined && c >= '0' && c <= '9')) return this.number();
    for (const [word, value] of words) {
      if (this.text.startsWith(word, this.at)) {
        this.at += word.length;
        return value;
      }
    }
    return this.fail('bad_json');
  }

  private enter(): void {
    if (++this.depth > MAX_DEPTH) this.fail('too_deep');
    this.at++;
    this.space();
  }

  private object(): Record<string, unknown> {
    this.enter();
    const members: Record<string, unknown> = {};
    const done = this.text[this.at] === '}';
    for (let more = !done; more; more = this.next('}')) {
      if (this.text[this.at] !== '"') this.fail('bad_json');
      const start = this.at;
      const name = this.string();
      this.space();
      if (this.text[this.at] !== ':') this.fail('bad_json');
      this.at++;
      this.space();
      const value = this.value();
      if (Object.hasOwn(members, name)) this.duplicateAt = start;
      // Defined, not assigned: a member called __proto__ is data like any other.
      Object.defineProperty(members, name, { value, writable: true, enumerable: true, configurable: true });
    }
    if (done) this.leave();
    return members;
  }

  private array(): unknown[] {
    this.enter();
    const items: unknown[] = [];
    const done = this.text[this.at] === ']';
    for (let more = !done; more; more = this.next(']')) items.push(this.value());
    if (done) this.leave();
    return items;
  }

  private next(closing: string): boolean {
    this.space();
    const c = this.text[this.at];
    if (c === closing) {
      this.leave();
      return false;
    }
    if (c !== ',') this.fail('bad_json');
    this.at++;
    this.space();
    return true;
  }

  private leave(): void {
    this.at++;
    this.depth--;
  }

  private number(): number {
    numberHere.lastIndex = this.at;
    const found = numberHere.exec(this.text);
    if (found === null) return this.fail('bad_json');
    const after = this.text[this.at + found[0].length];
    // "1." and "1e" are not JSON; "1.5" and "1e2" are JSON, but not integers.
    if ((after === '.' && found[1] === undefined) || after === 'e' || after === 'E') {
      if (found[2] === undefined) this.fail('bad_json');
    }
    if (found[1] !== undefined || found[2] !== undefined || found[0] === '-0') this.fail('not_integer');
    const value = Number(found[0]);
    if (!Number.isSafeInteger(value)) this.fail('out_of_range');
    this.at += found[0].length;
    return value;
  }

  private string(): string {
    let value = '';
    let from = ++this.at;
    for (; this.at < this.text.length; this.at++) {
      const c = this.text.charCodeAt(this.at);
      if (c === 0x22) {
        value += this.text.slice(from, this.at++);
        return value;
      }
      if (c < 0x20) this.fail('bad_json');
      if (c === 0x5c) {
        value += this.text.slice(from, this.at) + this.escape();
        from = this.at--;
      } else if (c >= 0xd800 && c <= 0xdfff) {
        if (!isPair(c, this.text.charCodeAt(this.at + 1))) this.fail('lone_surrogate');
        this.at++;
      }
    }
    return this.fail('bad_json');
  }

  private escape(): string {
    const short = this.text[this.at + 1] ?? '';
    if (short !== 'u') {
      if (!Object.hasOwn(shortEscapes, short)) this.fail('bad_json');
      this.at += 2;
      return shortEscapes[short] as string;
    }
    const high = this.unit();
    if (high === undefined) return this.fail('bad_json');
    if (high < 0xd800 || high > 0xdfff) return String.fromCharCode(high);
    const start = this.at - 6;
    const low = this.unit();
    if (low === undefined || !isPair(high, low)) {
      this.at = start;
      this.fail('lone_surrogate');
    }
    return String.fromCharCode(high, low);
  }

  private unit(): number | undefined {
    hexHere.lastIndex = this.at;
    const found = hexHere.exec(this.text);
    if (found === null) return undefined;
    this.at += 6;
    return Number.parseInt(found[1] as string, 16);
  }
}

function isPair(high: number, low: number): boolean {
  return high >= 0xd800 && high <= 0xdbff && low >= 0xdc00 && low <= 0xdfff;
}
