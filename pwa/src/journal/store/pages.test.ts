/** Reading page by page gives what reading all at once gives, and never more than a page at a time. */
import 'fake-indexeddb/auto';
import { afterEach, expect, test, vi } from 'vitest';
import * as fc from 'fast-check';
import { IDBFactory } from 'fake-indexeddb';
import { openDB } from 'idb';
import { watchReads } from '../reads.testing';

const PAGE = 4;
vi.mock('./pageSize', () => ({ PAGE }));
// A thread that another file had before may still have its modules, with another size of a page.
vi.resetModules();
const { allBetween, allUnder, pageAfter, pageUnder } = await import('./pages');

afterEach(() => vi.restoreAllMocks());

interface Row {
  id: string;
  keys: string[];
}

/** A database of entries with these keys each; its ids come in no order. */
async function filled(keys: readonly string[][]) {
  vi.stubGlobal('indexedDB', new IDBFactory());
  const open = await openDB<{ entries: { key: string; value: Row; indexes: { keys: string } } }>('pages', 1, {
    upgrade: (fresh) => {
      fresh.createObjectStore('entries', { keyPath: 'id' }).createIndex('keys', 'keys', { multiEntry: true });
    },
  });
  for (const [i, each] of keys.entries()) await open.put('entries', { id: `${(i * 7919) % 1000}-${i}`, keys: each });
  return open;
}

const someKeys = fc.array(fc.subarray(['lot:a', 'lot:b', 'stock:a']), { maxLength: 30 });

test('all of a key, and all between two keys, are what one reading gives', async () => {
  const largest = watchReads();
  await fc.assert(
    fc.asyncProperty(someKeys, fc.constantFrom('lot:a', 'lot:b', 'none'), async (keys, key) => {
      const open = await filled(keys);
      const atOnce = await open.getAllFromIndex('entries', 'keys', key);
      const [first, last] = ['1', '7'];
      const between = await open.getAll('entries', IDBKeyRange.bound(first, last));
      largest.forget();
      const index = open.transaction('entries').store.index('keys');
      expect(await allUnder(index, key, (row) => row.id)).toEqual(atOnce);
      const { store } = open.transaction('entries');
      expect(await allBetween(store, first, last, (row) => row.id)).toEqual(between);
      expect(largest.rows()).toBeLessThanOrEqual(PAGE);
      open.close();
    }),
    { numRuns: 60 },
  );
});

test('pages reach every row once, whatever leaves the index between two of them', async () => {
  await fc.assert(
    fc.asyncProperty(someKeys, fc.array(fc.boolean(), { minLength: 30, maxLength: 30 }), async (keys, leaves) => {
      const open = await filled(keys);
      const atOnce = await open.getAllFromIndex('entries', 'keys', 'lot:a');
      const found: Row[] = [];
      for (let after: string | undefined = ''; after !== undefined;) {
        const page: Row[] = await pageUnder(open.transaction('entries').store.index('keys'), 'lot:a', after);
        for (const row of page) if (leaves[found.push(row) - 1]) await open.put('entries', { ...row, keys: [] });
        after = page[page.length - 1]?.id;
      }
      expect(found).toEqual(atOnce);
      const all: Row[] = [];
      for (let page = await pageAfter(open.transaction('entries').store, ''); page.length > 0;) {
        all.push(...page);
        page = await pageAfter(open.transaction('entries').store, page[page.length - 1]!.id);
      }
      expect(all.map((row) => row.id)).toEqual(await open.getAllKeys('entries'));
      open.close();
    }),
    { numRuns: 60 },
  );
});
