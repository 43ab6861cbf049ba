/**
 * What screens read at any moment without waiting: the records of which there are few (houses, beds, lots, spans,
 * people, profiles, stock, walks, applications), as signals kept up to date from the database. Pots are many and are
 * read by bed or walk when a screen asks for them.
 */
import { computed, signal, type ReadonlySignal, type Signal } from '@preact/signals';
import type {
  Application,
  Bed,
  House,
  Lot,
  Person,
  Profile,
  Round,
  Site,
  Span,
  Stock,
  WalkPart,
} from '../../../schema/types';
import { base } from './base';
import { hear } from './changes';
import type { RecordRow } from './shape';

const kinds = [
  'site',
  'house',
  'bed',
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

const kept: Record<Kind, Signal<ReadonlyMap<string, RecordRow>>> = Object.fromEntries(
  kinds.map((kind) => [kind, signal<ReadonlyMap<string, RecordRow>>(new Map())]),
) as never;

/** True once the records of an earlier visit are there. */
export const ready = signal(false);

/** Goes up with every change of any record, for screens that read pots or facts. */
export const tick = signal(0);

export async function load(): Promise<void> {
  hear(({ rows, gone }) => {
    take(rows, gone);
    if (rows.length > 0 || gone.length > 0) tick.value++;
  });
  const work = (await base()).transaction('records');
  const all = await Promise.all(
    kinds.map((kind) =>
      kind === 'application'
        ? work.store.index('fact').getAll(kind)
        : work.store.getAll(IDBKeyRange.bound(`${kind}:`, `${kind}:\uffff`)),
    ),
  );
  take(all.flat(), []);
  ready.value = true;
}

function take(rows: readonly RecordRow[], gone: readonly string[]): void {
  for (const kind of kinds) {
    const mine = rows.filter((row) => row.kind === kind);
    const lost = gone.filter((key) => kept[kind].value.has(key));
    if (mine.length === 0 && lost.length === 0) continue;
    const next = new Map(kept[kind].value);
    for (const key of lost) next.delete(key);
    for (const row of mine) next.set(row.key, row);
    kept[kind].value = next;
  }
}

/** A register as plain values: each field's shown one. */
export type Plain<T> = { id: string } & { readonly [F in keyof Omit<T, 'of' | 'saw'>]?: NonNullable<T[F]> };

function registers<T>(kind: Kind): ReadonlySignal<ReadonlyMap<string, Plain<T>>> {
  return computed(() => {
    const plain = new Map<string, Plain<T>>();
    for (const { record } of kept[kind].value.values()) {
      if (!record.register) continue;
      const fields = Object.entries(record.register.fields).filter(([, field]) => field.value !== null);
      const values = Object.fromEntries(fields.map(([name, field]) => [name, field.value]));
      plain.set(record.register.of, { id: record.register.of, ...values } as Plain<T>);
    }
    return plain;
  });
}

export const sites = registers<Site>('site');
export const houses = registers<House>('house');
export const beds = registers<Bed>('bed');
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
  const register = recordOf(kind, id)?.register;
  return [...new Set(fields.flatMap((field) => register?.fields[field]?.live ?? []))].sort();
}

export const stock: ReadonlySignal<ReadonlyMap<string, Stock>> = computed(() => {
  const plain = new Map<string, Stock>();
  for (const { key, record } of kept.stock.value.values()) {
    if (record.stock) plain.set(key.slice('stock:'.length), record.stock);
  }
  return plain;
});

export interface WalkRow extends WalkPart {
  id: string;
  bed: string;
  /** When it was opened, ms since 1970. */
  at: number;
}

/** Walks by id, without those struck out and those whose opening has not arrived. */
export const walks: ReadonlySignal<ReadonlyMap<string, WalkRow>> = computed(() => {
  const plain = new Map<string, WalkRow>();
  for (const { key, record } of kept.walk.value.values()) {
    const part = record.walk;
    if (!part?.open || part.voided) continue;
    const id = key.slice('walk:'.length);
    plain.set(id, { ...part, id, bed: part.open.bed, at: part.by?.stamp.at ?? 0 });
  }
  return plain;
});

export const applications: ReadonlySignal<readonly Application[]> = computed(() =>
  [...kept.application.value.values()].flatMap(({ record }) =>
    record.fact && !record.fact.voided ? [record.fact.body as Application] : [],
  ),
);
