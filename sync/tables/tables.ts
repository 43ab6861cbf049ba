/**
 * Reads a page of the journal that came as tables, and believes it only once every entry's canonical bytes fit the hash of the page.
 * Go twin: read.go; both read fixtures/vectors/tables-page.json.
 */
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';
import type { Column, Pull, Pulled, Table } from '../../schema/types';
import { canonical, entryHash, sumHex } from '../journal/journal.ts';

/** The newest form that this build can read. */
export const TABLES_VERSION = 1;
const MAX_ROWS = 10_000;
/** How many columns may lean on each other; a circle is longer. */
const MAX_LESS = 4;
const RECEIPT_CHARS = 6;

type Code = 'no_table_page' | 'short_column' | 'wrong_column' | 'out_of_order' | 'hash_differs';

const sentences: Record<Code, string> = {
  no_table_page: 'This is no page of tables that this build can read.',
  short_column: 'A column has more or fewer values than its table has rows.',
  wrong_column: 'A column cannot be read.',
  out_of_order: 'The positions of the items do not rise.',
  hash_differs: 'The entries do not have the hash that the page has.',
};

export class TableError extends Error {
  override readonly name = 'TableError';
  readonly code: Code;
  readonly detail: string;
  /** One for all: whatever is wrong with a page of tables, the same notes can be had without them. */
  readonly remedy = 'Nothing of the page is taken; ask for it without tables.';

  constructor(code: Code, column = '') {
    super(code);
    this.code = code;
    this.detail = column === '' ? sentences[code] : `${sentences[code].slice(0, -1)} ("${column}").`;
  }
}

/** A column's values by row; undefined for a row that has none. */
type Cells = readonly unknown[];

/** A page that was believed, with the hash of each of its entries, in their order: it was held to these. */
export type ReadPage = Pull & { hashes: readonly bigint[] };

/** @throws TableError */
export function readTables(page: unknown): ReadPage {
  if (!isObject(page) || page['v'] !== TABLES_VERSION || !Array.isArray(page['tables'])) {
    throw new TableError('no_table_page');
  }
  const names: unknown = page['names'];
  const { ids, items: others, hash } = page;
  if (!isTexts(names) || typeof ids !== 'string' || !Array.isArray(others) || !others.every(isObject))
    throw new TableError('no_table_page');
  const items = [...(others as unknown as Pulled[])];
  const idBytes = decoded(ids);
  let at = 0;
  for (const table of page['tables'] as unknown[]) {
    if (!isTable(table) || items.length + table.rows > MAX_ROWS) throw new TableError('no_table_page');
    if (idBytes.length < at + 16 * table.rows) throw new TableError('short_column', 'entry.id');
    items.push(...rowsOf(table, names, idBytes.subarray(at, (at += 16 * table.rows))));
  }
  if (at !== idBytes.length) throw new TableError('short_column', 'entry.id');
  items.sort((a, b) => a.position - b.position);
  const { receipts } = page;
  const pull = { ...page, items, receipts: typeof receipts === 'string' ? receipts : '' } as unknown as Pull;
  return { ...pull, hashes: check(pull, hash) };
}

/** Holds a page to its order and its hash. @returns the hashes of its entries */
function check({ items, receipts }: Pull, want: unknown): bigint[] {
  const whole = sha256.create();
  const hashes: bigint[] = [];
  let last = 0;
  items.forEach(({ position, entry, stamp }, index) => {
    if (!(position > last)) throw new TableError('out_of_order');
    last = position;
    const receipt = receipts.slice(index * RECEIPT_CHARS, (index + 1) * RECEIPT_CHARS);
    let hash: bigint;
    try {
      hash = entryHash(canonical(entry), stamp);
    } catch {
      throw new TableError('wrong_column', 'entry');
    }
    hashes.push(hash);
    whole.update(utf8ToBytes(`${position} ${sumHex(hash)} ${receipt}\n`));
  });
  if (bytesToHex(whole.digest()).slice(0, 32) !== want) throw new TableError('hash_differs');
  return hashes;
}

function rowsOf(table: Table, names: readonly string[], ids: Uint8Array): Pulled[] {
  const trees = Array.from({ length: table.rows }, (_, row) => ({
    entry: { id: bytesToHex(ids.subarray(16 * row, 16 * row + 16)) },
  }));
  const read = new Columns(table, names);
  for (const path of Object.keys(table.columns)) {
    const steps = path.split('.');
    if (steps.some((step) => step === '' || step === '__proto__')) throw new TableError('wrong_column', path);
    read.cells(path).forEach((value, row) => {
      if (value !== undefined && !put(trees[row] as object, steps, value)) throw new TableError('wrong_column', path);
    });
  }
  return trees as unknown as Pulled[];
}

/** Sets the value at the end of a way. False where something stands in the way. */
function put(tree: object, steps: readonly string[], value: unknown): boolean {
  let here = tree as Record<string, unknown>;
  const last = steps.length - 1;
  for (let i = 0; i < last; i++) {
    const step = steps[i] as string;
    const next = Object.hasOwn(here, step) ? here[step] : (here[step] = {});
    if (!isObject(next)) return false;
    here = next;
  }
  const name = steps[last] as string;
  if (Object.hasOwn(here, name)) return false;
  here[name] = value;
  return true;
}

class Columns {
  private readonly known = new Map<string, Cells>();
  private readonly table: Table;
  private readonly names: readonly string[];

  constructor(table: Table, names: readonly string[]) {
    this.table = table;
    this.names = names;
  }

  cells(path: string, deep = 0): Cells {
    const known = this.known.get(path);
    if (known) return known;
    const column = Object.hasOwn(this.table.columns, path) ? (this.table.columns[path] as Column) : undefined;
    if (!column || typeof column !== 'object' || deep > MAX_LESS) throw new TableError('wrong_column', path);
    let cells = this.own(path, column, deep);
    if (cells.length !== this.table.rows) throw new TableError('short_column', path);
    if (column.less !== undefined) cells = this.plus(path, cells, column.less, deep);
    this.known.set(path, cells);
    return cells;
  }

  /** A column's values as they stand in it. */
  private own(path: string, column: Column, deep: number): Cells {
    const wrong = () => new TableError('wrong_column', path);
    const forms = [column.all, column.values, column.names, column.steps, column.as];
    if (forms.filter((form) => form !== undefined).length !== 1) throw wrong();
    if (column.as !== undefined) return this.cells(column.as, deep + 1);
    if (column.all !== undefined) return Array.from({ length: this.table.rows }, () => present(column.all));
    const listed: unknown = column.values ?? column.names ?? column.steps;
    if (!Array.isArray(listed)) throw wrong();
    if (column.values) return listed.map(present);
    if (column.names) {
      return listed.map((place: unknown) => {
        if (place === null) return undefined;
        if (!Number.isInteger(place) || this.names[place as number] === undefined) throw wrong();
        return this.names[place as number];
      });
    }
    let sum = 0;
    return listed.map((step: unknown) => {
      if (!Number.isSafeInteger(step)) throw wrong();
      sum += step as number;
      if (!Number.isSafeInteger(sum)) throw wrong();
      return sum;
    });
  }

  private plus(path: string, cells: Cells, less: string, deep: number): Cells {
    const others = this.cells(less, deep + 1);
    return cells.map((cell, row) => {
      if (cell === undefined) return undefined;
      const sum = (cell as number) + (others[row] as number);
      if (![cell, others[row], sum].every(Number.isSafeInteger)) throw new TableError('wrong_column', path);
      return sum;
    });
  }
}

function present(value: unknown): unknown {
  return value ?? undefined;
}

/** Base64url without padding, in bytes. */
function decoded(text: string): Uint8Array {
  if (!/^[\w-]*$/.test(text)) throw new TableError('wrong_column', 'entry.id');
  try {
    return Uint8Array.from(atob(text.replaceAll('-', '+').replaceAll('_', '/')), (c) => c.charCodeAt(0));
  } catch {
    throw new TableError('wrong_column', 'entry.id');
  }
}

function isTable(value: unknown): value is Table {
  if (!isObject(value) || !isObject(value['columns'])) return false;
  return Number.isInteger(value['rows']) && (value['rows'] as number) > 0;
}

function isTexts(value: unknown): value is string[] {
  return Array.isArray(value) && value.every((each) => typeof each === 'string');
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
