/**
 * What screens read at any moment without waiting: the records of which there are few (houses, beds, lots, spans,
 * people, profiles, cultivars, bookings, stock, walks, applications), as signals kept up to date from the database. Pots are many and are
 * read by bed or walk when a screen asks for them.
 */
import { batch, computed, signal, type ReadonlySignal } from '@preact/signals-core';
import type {
  Application,
  Bed,
  Booking,
  Cultivar,
  House,
  Lot,
  Person,
  Profile,
  Register,
  Round,
  Site,
  Span,
  Stock,
} from '../../../../schema/types';
import { base } from '../store/base';
import { subscribe, type ChangedRow } from '../store/changes';
import { decodeRows } from '../recovery/damaged';
import { allBetween, allUnder } from '../store/pages';
import { whenIdle } from '../store/pause';
import type { KeptRow, RecordRow } from '../store/shape';
import { Current } from './current';
import { takeWalks } from './walks';

const kinds = [
  'site',
  'house',
  'bed',
  'booking',
  'cultivar',
  'lot',
  'span',
  'person',
  'profile',
  'stock',
  'walk',
  'application',
  'round',
] as const;
type Kind = (typeof kinds)[number];

const kept: Record<Kind, Current<RecordRow>> = Object.fromEntries(
  kinds.map((kind) => [kind, new Current<RecordRow>()]),
) as never;

/** True once all that the first screen shows of an earlier visit is there; set by start. */
export const ready = signal(false);

/** True once the walks that are over are there too. */
export const complete = signal(false);

function keyOf({ key }: KeptRow): string {
  return key;
}

/** Reads what the first screen needs, by few questions: neighbours in the order of names are asked for together. */
export async function load(): Promise<void> {
  subscribe(({ rows, gone }) => take(rows, gone));
  const { store } = (await base()).transaction('records');
  const between = (first: string, last: string) => allBetween(store, `${first}:`, `${last}:\uffff`, keyOf);
  const found = await Promise.all([
    between('bed', 'cultivar'),
    between('house', 'person'),
    between('profile', 'stock'),
    allUnder(store.index('fact'), 'application', keyOf),
    allUnder(store.index('inProgress'), 1, keyOf),
  ]);
  take(decodeRows(found.flat()), []);
  const asked = [...rounds.value.values()].flatMap(({ walk, done }) =>
    walk && !done ? [store.get(`walk:${walk}`)] : [],
  );
  take(decodeRows((await Promise.all(asked)).filter((row) => row !== undefined)), []);
}

/** Walks a reading: a season has a thousand, and more of them at once would hold up a tap. */
const WALKS = 100;

/**
 * Reads the walks that are over, some at a time between two frames: no first screen shows them, and all at once they are
 * two thirds of what a start has to read.
 */
export async function loadRest(): Promise<void> {
  const found: RecordRow[] = [];
  for (let after = 'walk:'; ;) {
    await whenIdle();
    const page = await (await base()).getAll('records', IDBKeyRange.bound(after, 'walk:\uffff', true), WALKS);
    found.push(...decodeRows(page));
    const last = page[page.length - 1];
    if (!last || page.length < WALKS) break;
    after = last.key;
  }
  // Reading the last rows, and drawing with all of them, in one task would be the longest one of a start.
  await whenIdle();
  // A change that came meanwhile is newer than what was read.
  take(
    found.filter(({ key }) => kept.walk.peek(key) === undefined),
    [],
  );
  complete.value = true;
}

function take(rows: readonly ChangedRow[], gone: readonly string[]): void {
  const byKind = new Map<string, RecordRow[]>(kinds.map((kind) => [kind, []]));
  for (const row of rows) if (row.record !== undefined) byKind.get(row.kind)?.push(row as RecordRow);
  batch(() => {
    for (const kind of kinds) {
      const mine = byKind.get(kind) ?? [];
      const lost = gone.filter((key) => kept[kind].peek(key) !== undefined);
      if (mine.length === 0 && lost.length === 0) continue;
      if (kind === 'walk') takeWalks(mine, lost);
      kept[kind].change([
        ...lost.map((key) => [key, undefined] as const),
        ...mine.map((row) => [row.key, row] as const),
      ]);
    }
  });
}

/** A register as plain values: each field's shown one. */
export type Plain<T> = { id: string } & { readonly [F in keyof Omit<T, 'of' | 'saw'>]?: NonNullable<T[F]> };

function registers<T>(kind: Kind): ReadonlySignal<ReadonlyMap<string, Plain<T>>> {
  return computed(() => {
    const plain = new Map<string, Plain<T>>();
    for (const row of kept[kind].value.values()) {
      const values = plainOf(row);
      if (values) plain.set(values.id, values as Plain<T>);
    }
    return plain;
  });
}

/** By row: a change of one lot must not read all others again. */
const plains = new WeakMap<RecordRow, { id: string }>();

function plainOf(row: RecordRow): { id: string } | undefined {
  const { register } = row.record;
  const known = plains.get(row);
  if (known || !register) return known;
  // Every note of it was struck out.
  if (Object.keys(register.fields).length === 0) return undefined;
  const plain: { id: string } & Record<string, unknown> = { id: register.of };
  for (const [name, { value }] of Object.entries(register.fields)) if (value !== null) plain[name] = value;
  plains.set(row, plain);
  return plain;
}

export const sites = registers<Site>('site');
export const houses = registers<House>('house');
export const beds = registers<Bed>('bed');
export const bookings = registers<Booking>('booking');
export const cultivars = registers<Cultivar>('cultivar');
export const lots = registers<Lot>('lot');
export const spans = registers<Span>('span');
export const people = registers<Person>('person');
export const profiles = registers<Profile>('profile');
export const rounds = registers<Round>('round');

/** The whole record of a thing, with its disagreements and what a new write must name as seen. */
export function recordOf(kind: Kind, id: string): RecordRow['record'] | undefined {
  return kept[kind].value.get(`${kind}:${id}`)?.record;
}

/** Entry ids that a new write of these fields must name as seen. */
export function seenOf(kind: Kind, id: string, fields: readonly string[]): string[] {
  return seenIn(recordOf(kind, id)?.register, fields);
}

/** The same of a record that is not in these tables. */
export function seenIn(register: Register | undefined, fields: readonly string[]): string[] {
  return [...new Set(fields.flatMap((field) => register?.fields[field]?.live ?? []))].sort();
}

export const stock: ReadonlySignal<ReadonlyMap<string, Stock>> = computed(() => {
  const plain = new Map<string, Stock>();
  for (const { key, record } of kept.stock.value.values()) {
    if (record.stock) plain.set(key.slice('stock:'.length), record.stock);
  }
  return plain;
});

export const applications: ReadonlySignal<readonly Application[]> = computed(() =>
  [...kept.application.value.values()].flatMap(({ record }) =>
    record.fact && !record.fact.voided ? [record.fact.body as Application] : [],
  ),
);
