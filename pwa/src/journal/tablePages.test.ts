/** Pages of the journal that come as tables: what is asked for, what is believed, and what follows where one is not. */
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { canonical, entryHash, parse } from '../../../sync/journal/journal';
import { readVectors } from '../../../sync/journal/vectors.testing';
import { json } from './answers.testing';

interface Item {
  position: number;
  stamp: unknown;
  entry: string;
}

const cases = readVectors('tables-page.json', ['page'], ['items', 'error']);
const whole = cases[0]?.input['page'] as string;
const items = cases[0]?.want['items'] as Item[];
const asked: URLSearchParams[] = [];
let wire: typeof import('./wire');

/** A server that answers with a page as tables where it is asked to, and with the same entries as they are where not. */
function serves(tables: string, items: unknown[]): void {
  vi.stubGlobal('fetch', (path: string) => {
    const { searchParams } = new URL(path, 'http://nursery');
    asked.push(searchParams);
    const plain = { epoch: 'e1', head: 9, items, more: false, server_now: 1, backed_up_to: 0, receipts: '' };
    return Promise.resolve(json(searchParams.has('tables') ? JSON.parse(tables) : plain));
  });
}

beforeEach(async () => {
  vi.resetModules();
  wire = await import('./wire');
});

afterEach(() => {
  asked.length = 0;
  vi.unstubAllGlobals();
});

test('a page of tables is asked for, and its entries are those that the server has', async () => {
  serves(whole, []);
  const page = await wire.pull({ epoch: 'e1', position: 0 }, 100);
  expect(asked.map((query) => query.get('tables'))).toEqual(['1']);
  expect(page.items.map(({ entry }) => canonical(entry))).toEqual(items.map(({ entry }) => entry));
});

test('the hashes by which a page was believed come with it, and none that somebody else says', async () => {
  serves(whole, []);
  const page = await wire.pull({ epoch: 'e1', position: 0 }, 100);
  const own = page.items.map(({ entry, stamp }) => entryHash(canonical(entry), stamp));
  expect(page.hashes).toEqual(own);
  expect(own.length).toBeGreaterThan(0);
  const plain = {
    epoch: 'e1',
    head: 9,
    items: [],
    more: false,
    server_now: 1,
    backed_up_to: 0,
    receipts: '',
    hashes: [1],
  };
  vi.stubGlobal('fetch', () => Promise.resolve(json(plain)));
  expect((await wire.pull({ epoch: 'e1', position: 0 }, 100)).hashes).toBeUndefined();
});

test('a server of an earlier release answers without tables, and is believed as before', async () => {
  const item = { position: 3, stamp: { at: 1, quality: 'exact', from: 1, to: 1 }, entry: { id: 'a' } };
  vi.stubGlobal('fetch', () =>
    Promise.resolve(
      json({ epoch: 'e1', head: 9, items: [item], more: false, server_now: 1, backed_up_to: 0, receipts: 'r00003' }),
    ),
  );
  expect((await wire.pull({ epoch: 'e1', position: 0 }, 100)).items).toEqual([item]);
});

const broken = cases.filter(({ want }) => want['error'] !== undefined && want['error'] !== 'no_table_page');
test.each(broken)(
  'of a page with $name nothing is taken; its refusal has a code and a remedy, and the next is asked for without tables',
  async ({ input, want }) => {
    const plain = items.map((item) => ({ ...item, entry: parse(item.entry) }));
    serves(input['page'] as string, plain);
    const { problem, why } = (await wire
      .pull({ epoch: 'e1', position: 0 }, 100)
      .catch((error: unknown) => error as InstanceType<typeof wire.Refusal>)) as InstanceType<typeof wire.Refusal>;
    expect([why, problem?.code]).toEqual(['refused', want['error']]);
    expect(problem?.remedy).toContain('ask for it without tables');
    expect((await wire.pull({ epoch: 'e1', position: 0 }, 100)).items).toEqual(plain);
    expect(asked.map((query) => query.get('tables'))).toEqual(['1', null]);
  },
);
