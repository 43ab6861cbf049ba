import * as fc from 'fast-check';
import { expect, it } from 'vitest';
import { IDBFactory } from 'fake-indexeddb';
import { clone, quicken } from './quick.mjs';

const long = globalThis.structuredClone;

/** @returns the copy, or the name of the error that it ends with */
function outcome(copy: typeof long, value: unknown): unknown {
  try {
    return copy(value);
  } catch (error) {
    return (error as Error).name;
  }
}

it('copies what a program can hold as structuredClone does', () => {
  const anything = fc.anything({
    withDate: true,
    withTypedArray: true,
    withSparseArray: true,
    withMap: true,
    withNullPrototype: true,
    withBigInt: true,
    withObjectString: true,
  });
  fc.assert(
    fc.property(anything, (value) => {
      expect(outcome(clone, value)).toStrictEqual(outcome(long, value));
    }),
    { seed: 20261129, numRuns: 300 },
  );
});

it('copies rows of the journal deeply, and keeps what is one object as one', () => {
  const part = { a: [1, { b: 'ä' }], n: null, u: undefined, big: 2n };
  const copy = clone(part);
  expect(copy).toStrictEqual(part);
  expect(copy.a[1]).not.toBe(part.a[1]);
  const twice = clone({ one: part, other: part });
  expect(twice.one).toBe(twice.other);
  const circle: { self?: unknown } = {};
  circle.self = circle;
  expect(clone(circle).self === circle).toBe(false);
});

it('refuses what structuredClone refuses', () => {
  expect(() => clone({ f: () => 1 })).toThrow(DOMException);
  expect(() => clone({ s: [Symbol('s')] })).toThrow();
});

it('names a __proto__ that JSON can bring in', () => {
  const value = JSON.parse('{"a":1,"__proto__":{"b":2}}') as object;
  expect(Object.keys(clone(value))).toStrictEqual(Object.keys(long(value)));
});

/** Which rows each index holds, in its order, when rows are put, put again and deleted. */
async function held(base: IDBDatabase): Promise<unknown> {
  const rows = [
    { id: 1, state: 'queued', at: [1, 2], lots: ['a', 'b'] },
    { id: 2, state: undefined, at: [1], part: { state: 'in' } },
    { id: 3, lots: [] },
    { id: 4, state: 7, at: 'x', lots: 'c', length: 4 },
    { id: 5, state: null, at: undefined, lots: ['a', {}, 'a'] },
    { id: 1, at: 3 },
    { id: 7, state: 'queued', at: [3], lots: ['z'] },
    Object.assign(Object.create({ state: 'inherited' }), { id: 6 }) as object,
  ];
  const work = base.transaction('rows', 'readwrite');
  const store = work.objectStore('rows');
  for (const row of rows) store.put(row);
  store.delete(4);
  await new Promise((done) => work.addEventListener('complete', done));
  const read = base.transaction('rows').objectStore('rows');
  const all = [...read.indexNames].map(async (name) => {
    const asked = read.index(name).getAllKeys();
    await new Promise((done) => asked.addEventListener('success', done));
    return [name, asked.result];
  });
  return Promise.all(all);
}

it('leaves out of an index what fake-indexeddb leaves out', async () => {
  const { default: Index } = (await import(
    '../../../node_modules/fake-indexeddb/build/esm/lib/Index.js' as string
  )) as { default: { prototype: { getIndexKey: unknown } } };
  const before = Index.prototype.getIndexKey;
  const make = (): Promise<IDBDatabase> => {
    const asked = new IDBFactory().open('base', 1);
    asked.addEventListener('upgradeneeded', () => {
      const store = asked.result.createObjectStore('rows', { keyPath: 'id' });
      store.createIndex('state', 'state');
      store.createIndex('deep', 'part.state');
      store.createIndex('both', ['state', 'at']);
      store.createIndex('lots', 'lots', { multiEntry: true });
      store.createIndex('length', 'length');
    });
    return new Promise((done) => asked.addEventListener('success', () => done(asked.result)));
  };
  quicken();
  const base = await make();
  const quick = Index.prototype.getIndexKey;
  expect(quick).not.toBe(before);
  const short = await held(base);
  Index.prototype.getIndexKey = before;
  const other = await held(await make());
  globalThis.structuredClone = long;
  expect(short).toStrictEqual(other);
  expect(JSON.stringify(short)).toContain('["state",[7]]');
});
