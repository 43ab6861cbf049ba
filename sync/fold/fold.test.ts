import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Entry, Stamp, Stamped } from '../../schema/types';
import {
  addSum,
  canonical,
  canonicalRecord,
  chain,
  chainHex,
  entryHash,
  MAX_DEPTH,
  noChain,
  parse,
  sumHex,
} from '../journal/journal.ts';
import { readVectors, vectorFiles } from '../journal/vectors.testing.ts';
import { compare, fold, keys, recordHash, totalHex } from './fold.ts';

const recordFiles = ['fold-fact.json', 'fold-pot.json', 'fold-register.json', 'fold-stock.json', 'fold-walk.json'];

test('every fold vector file is read', () => {
  expect(vectorFiles('fold')).toEqual([...recordFiles, 'fold-keys.json', 'fold-order.json'].sort());
});

describe.each(recordFiles)('%s', (file) => {
  test.each(readVectors(file, ['key', 'entries'], ['record']))('$name', ({ input, want }) => {
    const key = input['key'] as string;
    const entries = input['entries'] as Stamped[];
    const wanted = want['record'] === null ? '' : canonical(want['record']);
    expect(textOf(key, entries)).toBe(wanted);
    expect(textOf(key, entries.toReversed())).toBe(wanted);
    expect(textOf(key, [...entries.slice(1), ...entries, ...entries.slice(0, 1)])).toBe(wanted);
  });
});

test.each(readVectors('fold-keys.json', ['entry'], ['keys']))('keys: $name', ({ input, want }) => {
  expect(keys(input['entry'] as Entry)).toEqual(want['keys']);
});

test.each(readVectors('fold-order.json', ['entries'], ['ids']))('order: $name', ({ input, want }) => {
  const ids = (input['entries'] as Stamped[]).toSorted(compare).map(({ entry }) => entry.id);
  expect(ids).toEqual(want['ids']);
});

interface Case {
  entries: { text: string; stamp: Stamp; position: number }[];
  keys: string[][];
  order: string[];
  records: { [key: string]: string };
  chain: string;
  sum: string;
  total: string;
}

/** Random sets of entries, and what the Go twin makes of them. FOLD_SEED=n runs other ones. */
const seed = process.env['FOLD_SEED'] ?? '1';
const cases = fromGo(['-seed', seed, '-cases', '300']);

// A busy machine may take its time over 300 sets; how long says nothing.
describe(`the twins agree on 300 random sets of entries (seed ${seed})`, { timeout: 60_000 }, () => {
  test('in bytes, keys, order, chain and digest', () => {
    expect(cases).toHaveLength(300);
    for (const one of cases) {
      const entries = read(one);
      expect(entries.map(({ entry }) => canonical(entry))).toEqual(one.entries.map(({ text }) => text));
      expect(entries.map(({ entry }) => keys(entry))).toEqual(one.keys);
      expect(entries.toSorted(compare).map(({ entry }) => entry.id)).toEqual(one.order);
      expect(chainHex(one.entries.reduce((hash, { text }) => chain(hash, text), noChain))).toBe(one.chain);
      const sum = one.entries.map(({ text, stamp }) => entryHash(text, stamp)).reduce(addSum, 0n);
      expect(sumHex(sum)).toBe(one.sum);
    }
  });

  test('in every record, and in the hash over all of them', () => {
    let made = 0;
    for (const one of cases) {
      const sets = byKey(read(one));
      const records = Object.fromEntries([...sets].map(([key, set]) => [key, textOf(key, set)]));
      expect(records).toEqual(one.records);
      const folded = [...sets].map(([key, set]) => fold(key, set)).filter((record) => record !== undefined);
      expect(totalHex(folded.map(recordHash).reduce(addSum, 0n))).toBe(one.total);
      made += folded.length;
    }
    expect(made).toBeGreaterThan(2000);
  });

  test('and any order, any repetition and any split give the same records here too', () => {
    const some = fc.record({
      one: fc.constantFrom(...cases.slice(0, 100)),
      order: fc.infiniteStream(fc.nat()),
      again: fc.array(fc.nat({ max: 40 }), { maxLength: 10 }),
    });
    fc.assert(
      fc.property(some, ({ one, order, again }) => {
        const entries = read(one);
        const shuffled = entries
          .map((stamped) => ({ stamped, at: order.next().value as number }))
          .sort((a, b) => a.at - b.at)
          .map(({ stamped }) => stamped);
        shuffled.push(...again.map((i) => entries[i % entries.length]!));
        const held = new Map<string, Stamped[]>();
        const records = new Map<string, string>();
        // One entry a batch: every record is folded again with each entry that touches it.
        for (const stamped of shuffled) {
          for (const key of keys(stamped.entry)) {
            const set = [...(held.get(key) ?? []), stamped];
            held.set(key, set);
            records.set(key, textOf(key, set));
          }
        }
        expect(Object.fromEntries(records)).toEqual(one.records);
      }),
      { numRuns: 60 },
    );
  });
});

describe('what the server merges can be written as a record', { timeout: 60_000 }, () => {
  /** Sets of entries of every kind that the server's check accepts: every third case. */
  const accepted = cases.filter((_, index) => index % 3 === 2).map(read);

  test('whatever members of later builds an entry has, as deep as an entry may be', () => {
    const deep = fc.letrec((tie) => ({
      value: fc.oneof(
        { maxDepth: MAX_DEPTH },
        fc.constant(null),
        fc.boolean(),
        fc.maxSafeInteger().filter((n) => !Object.is(n, -0)),
        fc.string({ unit: 'binary' }),
        fc.array(tie('value'), { maxLength: 3 }),
        fc.array(fc.tuple(tie('name'), tie('value')), { maxLength: 3 }).map(objectOf),
      ),
      name: fc.oneof(fc.constantFrom('__proto__', 'constructor', 'toString', ''), fc.string({ unit: 'binary' })),
    }));
    const nested = fc
      .tuple(deep['value']!, fc.nat({ max: MAX_DEPTH }), fc.boolean())
      .map(([inner, levels, list]) => wrapped(inner, levels, list));
    const members = fc.array(fc.tuple(deep['name'] as fc.Arbitrary<string>, nested), { minLength: 1, maxLength: 4 });
    let written = 0;
    fc.assert(
      fc.property(fc.constantFrom(...accepted), fc.nat(), members, (entries, at, added) => {
        const changed = withMembers(entries[at % entries.length]!, added);
        // Nested too deep for an entry, or half a character: no entry, and held by the server.
        fc.pre(isCanonical(changed.entry));
        const all = entries.with(at % entries.length, changed);
        for (const key of keys(changed.entry)) {
          const record = fold(key, all);
          if (record) expect(JSON.parse(canonicalRecord(record))).toEqual(JSON.parse(JSON.stringify(record)));
          written++;
        }
      }),
      { numRuns: 200 },
    );
    expect(written).toBeGreaterThan(150);
  });
});

test('the 60 pots of a walk fold in a fraction of a frame', () => {
  const body = {
    walk: 'w',
    bed: 'b',
    lot: 'l',
    head_a_mm: 281,
    head_b_mm: 274,
    buds: 30,
    place: { row: 1, across: 2 },
  };
  const stamp: Stamp = { at: 1, quality: 'exact', from: 1, to: 1 };
  const envelope = {
    device: 'd',
    inc: 1,
    v: 1,
    kind: 'observation',
    person: 'p',
    wall: 1,
    session: 's',
    mono: 0,
    floor: 0,
  };
  const pots = Array.from({ length: 60 }, (_, seq): Stamped[] => [
    { entry: { ...envelope, id: `o${seq}`, seq, body }, stamp, position: seq },
  ]);
  // Counted in work, not in time, so that a busy machine cannot fail it: each pot reads its one entry's body once.
  let reads = 0;
  const counted = pots.map((set) =>
    set.map((s) => ({
      ...s,
      entry: Object.defineProperty({ ...s.entry }, 'body', { get: () => (reads++, body) }),
    })),
  );
  for (const set of counted) fold(`pot:${set[0]!.entry.id}`, set);
  expect(reads).toBe(60);
});

test('hundreds of voids of one move read that move once for each leg, and not for each void', () => {
  const stamp: Stamp = { at: 1, quality: 'exact', from: 1, to: 1 };
  const envelope = { device: 'd', inc: 1, v: 1, person: 'p', wall: 1, session: 's', mono: 0, floor: 0 };
  const legs = Array.from({ length: 16 }, (_, i) => ({ lot: 'l', span: `s${i}`, change: (i % 2) * 2 - 1 }));
  const body = { legs: [...legs, { lot: 'other', change: 0 }], why: 'moved' };
  let reads = 0;
  const move = Object.defineProperty({ ...envelope, id: 'm', seq: 1, kind: 'move', body }, 'body', {
    get: () => (reads++, body),
  });
  // They lack the other lot, so none of them stands and every one is looked at.
  const voids = Array.from({ length: 500 }, (_, i) => ({
    entry: {
      ...envelope,
      id: `v${i}`,
      seq: i + 2,
      kind: 'void',
      body: { names: 'm', records: ['stock:l'], why: 'mistake' },
    },
    stamp,
    position: i + 2,
  }));
  const record = fold('stock:l', [{ entry: move, stamp, position: 1 }, ...voids]);
  expect(record?.stock?.lines[0]?.voided).toBeUndefined();
  expect(reads).toBeLessThanOrEqual(1 + legs.length);
});

/** Names may be anything, __proto__ too, as in what JSON.parse gives. */
function objectOf(members: readonly [unknown, unknown][]): object {
  return Object.fromEntries(members.map(([name, value]) => [String(name), value]));
}

function wrapped(inner: unknown, levels: number, list: boolean): unknown {
  let value = inner;
  for (let i = 0; i < levels; i++) value = list ? [value] : { x: value };
  return value;
}

function withMembers(stamped: Stamped, members: readonly [string, unknown][]): Stamped {
  const body = { ...objectOf(members), ...(stamped.entry.body as object) };
  return { ...stamped, entry: { ...stamped.entry, body } as Entry };
}

function isCanonical(entry: Entry): boolean {
  try {
    canonical(entry);
    return true;
  } catch {
    return false;
  }
}

function textOf(key: string, entries: Stamped[]): string {
  const record = fold(key, entries);
  return record === undefined ? '' : canonicalRecord(record);
}

function byKey(entries: Stamped[]): Map<string, Stamped[]> {
  const sets = new Map<string, Stamped[]>();
  for (const stamped of entries) {
    for (const key of keys(stamped.entry)) sets.set(key, [...(sets.get(key) ?? []), stamped]);
  }
  return sets;
}

function read(one: Case): Stamped[] {
  return one.entries.map(({ text, stamp, position }) => ({ entry: parse(text) as Entry, stamp, position }));
}

function fromGo(args: string[]): Case[] {
  const root = join(import.meta.dirname, '../..');
  const { status, stdout, stderr } = spawnSync('go', ['run', './fixtures/twins/fold', ...args], {
    cwd: root,
    encoding: 'utf8',
    maxBuffer: 1 << 28,
  });
  if (status !== 0) throw new Error(`go run ./fixtures/twins/fold failed: ${stderr}`);
  return stdout
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line) as Case);
}
