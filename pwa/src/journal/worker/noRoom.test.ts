/** A phone without room: what waits is sent all the same, the person hears what is wrong, and once there is room all is as it should be. */
import { afterEach, expect, test, vi } from 'vitest';
import type { Entry, Push } from '../../../../schema/types';
import { packedIds } from '../held.testing';
import type { Phone } from '../letgo/phones.testing';
import { openTab } from '../nursery.testing';
import type { EntryRow } from '../store/shape';
import { C, PHONE, planted, WALK } from '../recovery/compared.testing';
import { Comparing } from '../recovery/comparing.testing';

vi.mock('../store/pageSize', () => ({ PAGE: 500, LEAST: 1, MOST: 4 }));

afterEach(() => {
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
  localStorage.clear();
});

/** Has every write into these stores refused, until the mocks are restored. */
function fill(stores: readonly string[]): void {
  for (const name of ['put', 'add'] as const) {
    const real = IDBObjectStore.prototype[name];
    vi.spyOn(IDBObjectStore.prototype, name).mockImplementation(function (this: IDBObjectStore, ...asked) {
      if (stores.includes(this.name)) throw new DOMException('full', 'QuotaExceededError');
      return real.apply(this, asked);
    });
  }
}

async function askToReread(phone: Phone): Promise<void> {
  await (await phone.base.base()).put('meta', { reread: { after: '' } }, 'recovery');
}

const everywhere = ['entries', 'records', 'meta', 'packs', 'packed'];

test.each<[string, readonly string[], (phone: Phone, nursery: Comparing) => Promise<unknown>]>([
  ['that is to read the journal again', everywhere, askToReread],
  ['that is to read the journal again and has room for no pack', ['packs', 'packed'], askToReread],
  ['that has others’ pots to take in', ['packs', 'packed'], async (_, nursery) => planted(nursery, [C])],
])('a phone without room %s sends what waits first, and says that it is full', async (_, stores, begin) => {
  const nursery = new Comparing();
  planted(nursery);
  const first = await openTab(nursery, PHONE);
  await first.syncs();
  await first.writes('kept here');
  await first.writes('and here');
  // Another start, which asks the server who it is.
  const phone = await openTab(nursery, PHONE, { disk: first.disk });
  await begin(phone, nursery);
  fill(stores);
  expect(await phone.pending()).toBe(2);
  await phone.syncs();
  const words = nursery.journal.map(({ entry }) => ((entry as Entry).body as { words?: string }).words);
  expect(words.filter((each) => each?.endsWith('here'))).toEqual(['kept here', 'and here']);
  expect(phone.sync.syncStatus.value.state).toBe('full');
  vi.restoreAllMocks();
  for (let rounds = 0; rounds < 3; rounds++) await phone.syncs();
  expect(phone.sync.syncStatus.value.state).toBe('resting');
  expect(await phone.pending()).toBe(0);
  expect(nursery.journal.filter(({ entry }) => (entry as Entry).device === PHONE)).toHaveLength(2);
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
  const pots = nursery.journal.filter(({ entry }) => (entry as Entry).kind === 'observation').length;
  expect(await packedIds(phone)).toHaveLength(pots);
  expect(await phone.read.potsOfWalk(WALK)).toHaveLength(pots);
});

test('a phone that has no room to write down what arrived sends all its batches once a round', async () => {
  const nursery = new Comparing();
  const phone = await openTab(nursery, PHONE);
  await phone.syncs();
  for (let i = 0; i < 3; i++) await phone.writes(`note ${i} ${'x'.repeat(100_000)}`);
  fill(everywhere);
  const answer = vi.spyOn(nursery, 'answer');
  await phone.syncs();
  const pushed = answer.mock.calls.flatMap(([, , path, init]) =>
    path === '/api/push' ? [JSON.parse(init?.body as string) as Push] : [],
  );
  // What has arrived does not wait here any more, for all that this phone can write down.
  expect(pushed.map(({ pending }) => pending)).toEqual([1, 0]);
  expect(nursery.journal).toHaveLength(3);
  expect([await phone.pending(), phone.sync.syncStatus.value.state]).toEqual([3, 'full']);
  vi.restoreAllMocks();
  for (let rounds = 0; rounds < 2; rounds++) await phone.syncs();
  expect([await phone.pending(), nursery.journal.length]).toEqual([0, 3]);
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
});

test('what a server has lost of one’s own is sent before others’ lost pots take room', async () => {
  const nursery = new Comparing();
  const restore = nursery.backup();
  const pots = [...planted(nursery).values()].flat().length;
  const phone = await openTab(nursery, PHONE);
  await phone.writes('kept here');
  await phone.syncs();
  expect(await packedIds(phone)).toHaveLength(pots);
  restore('whole disk');
  await phone.unfinished.rereadJournal();
  const put = IDBObjectStore.prototype.put;
  vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(function (this: IDBObjectStore, ...asked) {
    const { state, entry } = asked[0] as Partial<EntryRow>;
    if (state === 'unconfirmed' && entry?.kind === 'observation') throw new DOMException('full', 'QuotaExceededError');
    return put.apply(this, asked);
  });
  for (let rounds = 0; rounds < 2; rounds++) await phone.syncs();
  expect(phone.sync.syncStatus.value.state).toBe('full');
  expect(nursery.journal.map(({ entry }) => (entry as Entry).body)).toEqual([{ words: 'kept here' }]);
  expect(await packedIds(phone)).toHaveLength(pots);
  vi.restoreAllMocks();
  await phone.syncs();
  nursery.minutesPass(11);
  for (let rounds = 0; rounds < 4; rounds++) await phone.syncs();
  expect(nursery.unproven.size).toBe(25);
  expect(nursery.digests.at(-1)?.equal).toBe(true);
});

/** The words of the notes that this server has of the phone. */
const wordsAt = (nursery: Comparing): unknown[] =>
  nursery.journal.flatMap(({ entry }) => {
    const { device, body } = entry as Entry;
    return device === PHONE ? [(body as { words?: string }).words] : [];
  });

test.each<[string, 'restored' | 'whole disk', (phone: Phone) => Promise<unknown>, string[]]>([
  ['restored, and a note waits', 'restored', async (phone) => phone.writes('waits'), ['waits']],
  ['restored, and no note waits', 'restored', async () => undefined, []],
  ['set back without a sign, and a note waits', 'whole disk', async (phone) => phone.writes('waits'), ['waits']],
])('a phone without room sends its own notes to a server that was %s', async (_, how, begin, waiting) => {
  const nursery = new Comparing();
  planted(nursery);
  const phone = await openTab(nursery, PHONE);
  await phone.writes('sent before the backup');
  await phone.syncs();
  const restore = nursery.backup();
  await phone.writes('lost');
  await phone.writes('lost too');
  await phone.syncs();
  restore(how);
  await begin(phone);
  fill(everywhere);
  await phone.syncs();
  const all = ['sent before the backup', 'lost', 'lost too', ...waiting];
  expect(wordsAt(nursery)).toEqual(all);
  expect(phone.sync.syncStatus.value.state).toBe('full');
  vi.restoreAllMocks();
  for (let rounds = 0; rounds < 4; rounds++) await phone.syncs();
  expect([await phone.pending(), phone.sync.syncStatus.value.state]).toEqual([0, 'resting']);
  expect(wordsAt(nursery)).toEqual(all);
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
});

test('a phone that was revoked and has no room hands in what it has to a server that was restored', async () => {
  const nursery = new Comparing();
  const first = await openTab(nursery, PHONE);
  const restore = nursery.backup();
  const { entry: lost } = await first.writes('lost');
  await first.syncs();
  restore();
  const { entry: waits } = await first.writes('waits');
  // Another start, which asks the server who it is.
  const phone = await openTab(nursery, PHONE, { disk: first.disk });
  nursery.revoked.add(PHONE);
  fill(everywhere);
  const answer = vi.spyOn(nursery, 'answer');
  await phone.syncs();
  const sent = answer.mock.calls.flatMap(([, , path, init]) =>
    path === '/api/push' ? (JSON.parse(init?.body as string) as Push).entries.map((each) => (each as Entry).id) : [],
  );
  expect(sent).toEqual(expect.arrayContaining([lost.id, waits.id]));
  expect(phone.sync.syncStatus.value.state).toBe('revoked');
});

test('a revoked phone without room hears that it was revoked, also where the server holds as much of it as it may', async () => {
  const nursery = new Comparing();
  const first = await openTab(nursery, PHONE);
  const restore = nursery.backup();
  await first.writes('lost');
  await first.syncs();
  restore();
  await first.writes('waits');
  const phone = await openTab(nursery, PHONE, { disk: first.disk });
  nursery.revoked.add(PHONE);
  nursery.trouble = 'quarantine_full';
  fill(everywhere);
  await phone.syncs();
  expect(phone.sync.syncStatus.value).toMatchObject({ state: 'revoked', welcome: false });
});
