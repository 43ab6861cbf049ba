/** Makes packs: what may lie in one, and how it is written there. */
import type { Observation } from '../../../../../schema/types';
import { unheard, type Work } from '../base';
import { randomId } from '../device';
import { stateOf } from '../entryState';
import type { EntryRow, LotSum } from '../shape';
import { ID_BYTES, Pack, STAMP, type Column, type Columns, type PackBody } from './columns';
import { countNote, headOf } from './packs';

const POT = 'pot:';
/** Times, which are near that of the stamp. */
const late = new Set(['stamp.from', 'stamp.to', 'entry.wall', 'entry.floor']);
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
      const column = cells.get(path) ?? Array.from<unknown>({ length: rows.length }).fill(null);
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

/** True for a note that may lie in a pack, as far as it says itself. */
export function isPackable(row: EntryRow): boolean {
  const { id, entry, position, keys, own } = row;
  if (entry.kind !== 'observation' || own || stateOf(row) !== 'merged' || position <= 0) return false;
  if (keys.length !== 1 || keys[0] !== POT + id || row.text !== undefined) return false;
  const { walk, lot } = entry.body as Observation;
  const isName = (name: unknown) => typeof name === 'string' && /^[0-9a-f]{32}$/.test(name);
  return isName(entry.lot) && lot === entry.lot && isName(walk) && fits(row);
}

/**
 * Puts notes into a pack.
 * @param rows in the order of the journal, each packable, and with its part in the sum of its lot
 */
export function putPack(work: Work, rows: readonly { row: EntryRow; hash: bigint }[]): void {
  const body = pack(rows.map(({ row }) => row));
  const sums = new Map<string, LotSum>();
  for (const { row, hash } of rows) countNote(sums, row.entry.lot ?? '', hash, 1);
  const head = headOf({ body: randomId(), out: [] }, new Pack(body), sums);
  unheard(work.objectStore('packs').add(head));
  unheard(work.objectStore('packed').add(body, head.body));
}
