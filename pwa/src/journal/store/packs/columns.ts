/**
 * Others' notes as they lie in a pack: their ids as bytes, and all the rest as one text of columns, a column for each field. A note takes
 * 160 to 240 bytes so, where its own row and its record's take 1,280 (23,871 and 214,839 notes of the demo in Chromium).
 */
import type { EntryRow } from '../shape';

/** The body of a pack, which never changes. */
export interface PackBody {
  /** 16 bytes a note. */
  ids: Uint8Array;
  text: string;
}

/** The values of one field by note; null for a note without it. One of the four forms. */
export interface Column {
  all?: unknown;
  /** Places in the list of texts. */
  names?: (number | null)[];
  /** Each less the one before it that is there. */
  steps?: (number | null)[];
  values?: unknown[];
  /** Less the time of the stamp. */
  late?: 1;
}

export interface Columns {
  v: 1;
  names: string[];
  columns: { [path: string]: Column };
}

export const STAMP = 'stamp.at';
export const ID_BYTES = 16;
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
    const cells = column ? this.#cellsOf(column) : Array.from<unknown>({ length: this.size }).fill(null);
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
    } else cells = values ?? Array.from<unknown>({ length: this.size }).fill(all);
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

  /** Where a note lies; -1 where it is not in this pack. */
  placeOf(id: string): number {
    const first = Number.parseInt(id.slice(0, 2), 16);
    for (let at = 0; at < this.size; at++) if (this.#ids[ID_BYTES * at] === first && this.id(at) === id) return at;
    return -1;
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
