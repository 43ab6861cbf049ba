/**
 * Reads bodies strictly, field by field, into what a record holds of them: null counts as left out, members that
 * this build does not know are ignored, and a member of another type makes the whole body unreadable (undefined). What
 * the Go twin leaves out when it is empty is left out here, so that both write the same bytes.
 */
import type {
  Correction,
  Count,
  Leg,
  Move,
  Observation,
  Place,
  Recount,
  Unvoid,
  Void,
  Walk,
  WalkEnd,
} from '../../schema/types';

/** The value as read, the empty value for null, undefined when it cannot be read. */
type Read = (value: unknown) => unknown;

/** When a field is written: always, unless it is empty ("", 0, false, no items), or whenever it was given. */
type Kept = 'always' | 'unless empty' | 'if given';

interface FieldOf {
  read: Read;
  kept: Kept;
}

const text: Read = (value) => (value === null ? '' : typeof value === 'string' ? value : undefined);
const integer: Read = (value) => (value === null ? 0 : typeof value === 'number' ? value : undefined);
const flag: Read = (value) => (value === null ? false : typeof value === 'boolean' ? value : undefined);

const always = (read: Read): FieldOf => ({ read, kept: 'always' });
const unlessEmpty = (read: Read): FieldOf => ({ read, kept: 'unless empty' });
const ifGiven = (read: Read): FieldOf => ({ read, kept: 'if given' });

function list(item: Read): Read {
  return (value) => {
    if (value === null) return [];
    if (!Array.isArray(value)) return undefined;
    const items = value.map(item);
    return items.includes(undefined) ? undefined : items;
  };
}

const numbersByName: Read = (value) => {
  if (value === null) return {};
  if (!isObject(value)) return undefined;
  const entries = Object.entries(value).map(([name, number]) => [name, integer(number)] as const);
  return entries.some(([, number]) => number === undefined) ? undefined : Object.fromEntries(entries);
};

/** Every field of T must be named: a field that the schema gains and the fold lacks does not compile. */
function object<T>(fields: { [Name in keyof Required<T>]: FieldOf }): (value: unknown) => T | undefined {
  const named = Object.entries<FieldOf>(fields);
  return (value) => {
    const given = value === null ? {} : value;
    if (!isObject(given)) return undefined;
    const out: { [name: string]: unknown } = {};
    for (const [name, { read, kept }] of named) {
      const raw = given[name] ?? null;
      if (raw === null && kept !== 'always') continue;
      const member = read(raw);
      if (member === undefined) return undefined;
      if (kept !== 'unless empty' || !isEmpty(member)) out[name] = member;
    }
    return out as T;
  };
}

function isObject(value: unknown): value is { [name: string]: unknown } {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function isEmpty(value: unknown): boolean {
  return value === '' || value === 0 || value === false || (Array.isArray(value) && value.length === 0);
}

const placeOf = object<Place>({ row: always(integer), across: always(integer) });

const observationOf = object<Observation>({
  walk: always(text),
  bed: always(text),
  lot: always(text),
  place: ifGiven(placeOf),
  planned: unlessEmpty(flag),
  head_a_mm: ifGiven(integer),
  head_b_mm: ifGiven(integer),
  height_mm: ifGiven(integer),
  buds: ifGiven(integer),
  buds_tight: ifGiven(integer),
  buds_colour: ifGiven(integer),
  buds_candle: ifGiven(integer),
  buds_open: ifGiven(integer),
  tips_bare: ifGiven(integer),
  root_cover: ifGiven(integer),
  root_life: ifGiven(integer),
  scratch: ifGiven(text),
  chlorosis: ifGiven(text),
  severity: ifGiven(integer),
  soft_flush: ifGiven(flag),
  lower_brown: ifGiven(flag),
  bypass: ifGiven(integer),
  disease: ifGiven(flag),
  words: unlessEmpty(text),
});

/** How many plants grow in a pot is no part of the ledger: builds that do not know that field make the same records, whatever stands in it. */
type LedgerLeg = Omit<Leg, 'plants_each'>;

const legOf = object<LedgerLeg>({ lot: always(text), span: unlessEmpty(text), change: always(integer) });

/** A body is an object; null, which means an empty object inside a body, is not one. */
function body<T>(read: (value: unknown) => T | undefined): (value: unknown) => T | undefined {
  return (value) => (value === null ? undefined : read(value));
}

export const readObservation = body(observationOf);

export const readCorrection = body(
  object<Correction>({
    pot: always(text),
    replaces: always(text),
    settles: unlessEmpty(list(text)),
    now: always(observationOf),
  }),
);

export const readWalk = body(
  object<Walk>({
    walk: always(text),
    bed: always(text),
    seed: always(integer),
    planned: always(integer),
    round: unlessEmpty(text),
    places: unlessEmpty(list(placeOf)),
  }),
);

export const readWalkEnd = body(object<WalkEnd>({ walk: always(text), bed: always(text), why: always(text) }));

export const readVoid = body(
  object<Void>({ names: always(text), records: always(list(text)), why: always(text), words: unlessEmpty(text) }),
);

export const readUnvoid = body(
  object<Unvoid>({ names: always(text), records: always(list(text)), words: unlessEmpty(text) }),
);

export const readCount = body(
  object<Count>({
    lot: always(text),
    span: unlessEmpty(text),
    change: always(integer),
    reason: always(text),
    words: unlessEmpty(text),
  }),
);

export const readRecount = body(
  object<Recount>({
    lot: always(text),
    span: unlessEmpty(text),
    counted: always(integer),
    basis: always(numbersByName),
  }),
);

export const readMove = body(
  object<Omit<Move, 'legs'> & { legs: LedgerLeg[] }>({
    legs: always(list(legOf)),
    why: always(text),
    words: unlessEmpty(text),
  }),
);

export interface Writing {
  of: string;
  saw: string[];
  values: [name: string, value: unknown][];
}

/** Reads the body of a register entry: what it writes about, what it saw, and a value for each field that it sets. */
export function readWriting(value: unknown): Writing | undefined {
  if (!isObject(value) || typeof value['of'] !== 'string') return undefined;
  const saw = list(text)(value['saw'] ?? null);
  if (saw === undefined) return undefined;
  const values = Object.entries(value).filter(([name]) => name !== 'of' && name !== 'saw');
  return { of: value['of'], saw: saw as string[], values };
}

/** A text member of a body, "" when there is none. */
export function textOf(value: unknown, member: string): string {
  const found = isObject(value) ? value[member] : undefined;
  return typeof found === 'string' ? found : '';
}
