/**
 * Others' notes as they lie in a pack: their ids as bytes, and all the rest as one text of columns, a column for each field. A note takes
 * some 150 bytes so, where a row of its own takes a thousand and its record as many.
 */
import type { EntryRow } from '../shape';

/** The body of a pack, which never changes. */
export interface PackBody {
  /** 16 bytes a note. */
  ids: Uint8Array;
  text: string;
}

/** The values of one field by note; null for a note without it. One of the four forms. */
interface Column {
  all?: unknown;
  /** Places in the list of texts. */
  names?: (number | null)[];
  /** Each less the one before it that is there. */
  steps?: (number | null)[];
  values?: unknown[];
  /** Less the time of the stamp. */
  late?: 1;
}

interface Columns {
  v: 1;
  names: string[];
  columns: { [path: string]: Column };
}

const STAMP = 'stamp.at';
/** Times, which are near that of the stamp. */
const late = new Set(['stamp.from', 'stamp.to', 'entry.wall', 'entry.floor']);
const ID_BYTES = 16;

/** False for what a pack could not give back as it is: then the row stays a row. */
export function fits({ id, entry, stamp, position, receipt }: EntryRow): boolean {
  if (!/^[0-9a-f]{32}$/.test(id) || (receipt && receipt[0] !== position)) return false;
  return isPlain({ entry, stamp });
}

function isPlain(value: unknown): boolean {
  if (value === null || value === undefined) return false;
  if (typeof value !== 'object' || Array.isArray(value)) return true;
  return Object.entries(value).every(
    ([name, part]) => name !== '' && name !== '__proto__' && !name.includes('.') && isPlain(part),
  );
}

/** @param rows such as fit */
export function pack(rows: readonly EntryRow[]): PackBody {
  const cells = new Map<string, unknown[]>();
  const ids = new Uint8Array(ID_BYTES * rows.length);
  rows.forEach(({ id, entry: { id: _id, ...entry }, stamp, position, receipt }, at) => {
    for (let i = 0; i < ID_BYTES; i++) ids[ID_BYTES * at + i] = Number.parseInt(id.slice(2 * i, 2 * i + 2), 16);
    const put = (path: string, value: unknown): void => {
      if (isBranch(value)) {
        for (const name of Object.keys(value)) put(path === '' ? name : `${path}.${name}`, value[name]);
        return;
      }
      const column = cells.get(path) ?? new Array<unknown>(rows.length).fill(null);
      column[at] = value;
      cells.set(path, column);
    };
    put('', { entry, stamp, position, ...(receipt && { receipt: receipt[1] }) });
  });
  const names = new Map<string, number>();
  const columns: Columns['columns'] = {};
  for (const [path, values] of cells) columns[path] = columnOf(path, values, cells.get(STAMP) ?? [], names);
  return { ids, text: JSON.stringify({ v: 1, names: [...names.keys()], columns } satisfies Columns) };
}

function isBranch(value: unknown): value is { [name: string]: unknown } {
  return typeof value === 'object' && value !== null && !Array.isArray(value) && Object.keys(value).length > 0;
}

function columnOf(path: string, values: unknown[], stamps: readonly unknown[], names: Map<string, number>): Column {
  const isLate = late.has(path) && values.every(isCount) && stamps.every(isCount);
  const cells = isLate ? values.map((value, i) => (value as number) - (stamps[i] as number)) : values;
  const [first] = cells;
  const form = isLate && { late: 1 as const };
  if (typeof first !== 'object' && cells.every((cell) => cell === first)) return { all: first, ...form };
  if (cells.every((cell) => cell === null || typeof cell === 'string')) {
    const placeOf = (name: string) => names.get(name) ?? names.set(name, names.size).size - 1;
    return { names: cells.map((cell) => (cell === null ? null : placeOf(cell))) };
  }
  if (!cells.every((cell) => cell === null || isCount(cell))) return { values: cells };
  let before = 0;
  const steps = cells.map((cell) => {
    if (cell === null) return null;
    const step = (cell as number) - before;
    before = cell as number;
    return step;
  });
  return { steps, ...form };
}

function isCount(value: unknown): value is number {
  return Number.isSafeInteger(value) && !Object.is(value, -0) && Math.abs(value as number) < 2 ** 52;
}

/** A pack that was read: gives single notes, and one field of all, without making all of them. */
export class Pack {
  readonly size: number;
  readonly #ids: Uint8Array;
  readonly #read: Columns;
  readonly #cells = new Map<string, readonly unknown[]>();
  readonly #paths: readonly { path: string; steps: readonly string[] }[];

  /** @throws Error for what cannot be read */
  constructor({ ids, text }: PackBody) {
    this.#read = JSON.parse(text) as Columns;
    this.#ids = ids;
    this.size = ids.length / ID_BYTES;
    if (this.#read.v !== 1 || !Number.isInteger(this.size)) throw new Error('a pack in no form of this build');
    this.#paths = Object.keys(this.#read.columns).map((path) => ({ path, steps: path.split('.') }));
    for (const { path } of this.#paths) this.cells(path);
  }

  /** One field of all notes; null where a note has none. */
  cells(path: string): readonly unknown[] {
    const known = this.#cells.get(path);
    if (known) return known;
    const column = Object.hasOwn(this.#read.columns, path) ? this.#read.columns[path] : undefined;
    const cells = column ? this.#cellsOf(column) : new Array<unknown>(this.size).fill(null);
    if (cells.length !== this.size) throw new Error(`the column ${path} of a pack is cut`);
    this.#cells.set(path, cells);
    return cells;
  }

  #cellsOf({ all, names, steps, values, late: isLate }: Column): readonly unknown[] {
    let cells: unknown[];
    if (names) {
      cells = names.map((place) => (place === null ? null : this.#read.names[place]));
      if (cells.includes(undefined)) throw new Error('a text of a pack is missing');
    } else if (steps) {
      let sum = 0;
      cells = steps.map((step) => (step === null ? null : (sum += step)));
    } else cells = values ?? new Array<unknown>(this.size).fill(all);
    if (!isLate) return cells;
    const stamps = this.cells(STAMP);
    return cells.map((cell, i) => (cell as number) + (stamps[i] as number));
  }

  id(place: number): string {
    let id = '';
    for (let i = ID_BYTES * place; i < ID_BYTES * (place + 1); i++)
      id += (this.#ids[i] as number).toString(16).padStart(2, '0');
    return id;
  }

  /** The note as a row of its own, as it was when it came. */
  row(place: number): EntryRow {
    const made: { [name: string]: unknown } = {};
    for (const { path, steps } of this.#paths) {
      const value = this.cells(path)[place];
      if (value === null) continue;
      let here = made;
      for (const step of steps.slice(0, -1)) {
        if (!Object.hasOwn(here, step)) here[step] = {};
        here = here[step] as typeof here;
      }
      here[steps[steps.length - 1] as string] = value;
    }
    const { entry, stamp, position, receipt } = made as unknown as EntryRow & { receipt?: string };
    const whole = { ...entry, id: this.id(place) };
    return {
      id: whole.id,
      entry: whole,
      stamp,
      position,
      keys: [`pot:${whole.id}`],
      ...(receipt !== undefined && { receipt: [position, receipt] as [number, string] }),
    };
  }
}
