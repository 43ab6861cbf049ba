/** Others' pots lie in packs. Whatever touches, loses or damages them, the phone ends as one that was never disturbed. */
import { afterEach, expect, test, vi } from 'vitest';
import type { Entry } from '../../../../schema/types';
import { entriesOn, packedIds, packsOf } from '../held.testing';
import { meta, type Phone } from '../letgo/phones.testing';
import { openTab } from '../nursery.testing';
import { closeAfter, watchReads } from '../reads.testing';
import type { PackHead } from '../store/shape';
import { A, askedOf, B, BED, C, expectEqual, PHONE, planted, pulled, WALK } from './compared.testing';
import { Comparing } from './comparing.testing';

const size = vi.hoisted(() => ({ PAGE: 500, MOST: 200 }));
vi.mock('../store/pageSize', () => ({
  get PAGE() {
    return size.PAGE;
  },
  LEAST: 1,
  get MOST() {
    return size.MOST;
  },
}));

afterEach(() => {
  [size.PAGE, size.MOST] = [500, 200];
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
  localStorage.clear();
});

const idsOf = (pots: Map<string, Entry[]>) => [...pots.values()].flat().map(({ id }) => id);

/** Changes the one pack that the phone has. */
async function changePack(phone: Phone, change: (head: PackHead) => PackHead): Promise<void> {
  const open = await phone.base.base();
  const [pack] = await packsOf(phone);
  if (!pack) throw new Error('the phone has no pack');
  await open.delete('packs', pack.head.name);
  await open.put('packs', { ...change(pack.head), name: '0'.repeat(32) });
}

/** What a reading finds damaged is put right in the rounds after it. */
async function showsPots(phone: Phone, count: number): Promise<void> {
  let shown: readonly unknown[] = [];
  for (let rounds = 0; shown.length !== count && rounds < 6; rounds++) {
    await phone.syncs();
    shown = (await phone.read.potsOfWalk(WALK)) ?? [];
  }
  expect(shown.length).toBe(count);
}

test("others' pots are in no row, and are shown, counted and compared like all", async () => {
  const { nursery, phone, pots } = await pulled();
  const open = await phone.base.base();
  expect(await packedIds(phone)).toEqual(idsOf(pots).sort());
  expect(await open.countFromIndex('entries', 'lot', A)).toBe(3);
  expect(await open.countFromIndex('records', 'walk', WALK)).toBe(0);
  expect((await phone.read.potsOfWalk(WALK))?.map(({ now }) => now.buds)).toEqual([
    1, 2, 3, 4, 5, 1, 2, 3, 4, 5, 1, 2, 3, 4, 5,
  ]);
  expect(askedOf(nursery)).toEqual({ lots: [], reread: false });
  await expectEqual(nursery, phone);
});

test('a pot leaves its pack when another phone corrects it, and when it is struck out here', async () => {
  const { nursery, phone, pots } = await pulled();
  const [first, second] = pots.get(B) as [Entry, Entry];
  const now = { ...(first.body as object), buds: 9 };
  nursery.hears('correction', { pot: first.id, replaces: first.id, now }, { lot: B, bed: BED });
  await phone.syncs();
  phone.use();
  await phone.write.note('void', { names: second.id, records: [`pot:${second.id}`], why: 'mistake' }, { lot: B });
  const shown = new Map((await phone.read.potsOfWalk(WALK))?.map((pot) => [pot.id, pot]));
  expect(shown.size).toBe(15);
  expect([shown.get(first.id)?.now.buds, shown.get(first.id)?.versions]).toEqual([9, 2]);
  expect(shown.get(second.id)?.voided?.why).toBe('mistake');
  await phone.syncs();
  expect(await packedIds(phone)).toHaveLength(13);
  expect(askedOf(nursery)).toEqual({ lots: [], reread: false });
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
});

test('two tabs take notes out of one pack, each after the other', async () => {
  const { nursery, phone, pots } = await pulled();
  const other = await openTab(nursery, PHONE, { disk: phone.disk });
  const why = 'mistake' as const;
  for (const [tab, { id }] of [
    [phone, pots.get(A)?.[0]],
    [other, pots.get(A)?.[1]],
    [phone, pots.get(A)?.[2]],
    [other, pots.get(C)?.[0]],
  ] as [Phone, Entry][]) {
    tab.use();
    await tab.write.note('void', { names: id, records: [`pot:${id}`], why }, { lot: A });
  }
  expect(await packedIds(phone)).toHaveLength(11);
  await phone.syncs();
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
  expect((await phone.read.potsOfWalk(WALK))?.filter(({ voided }) => voided)).toHaveLength(4);
});

test('a page whose notes come once more, and a correction that comes with its pot, stay rows', async () => {
  const nursery = new Comparing();
  const [pot] = planted(nursery, [A]).get(A) ?? [];
  nursery.hears('correction', { pot: pot?.id, replaces: pot?.id, now: pot?.body }, { lot: A, bed: BED });
  const phone = await openTab(nursery, PHONE);
  await phone.syncs();
  expect(await packedIds(phone)).not.toContain(pot?.id);
  expect(await packedIds(phone)).toHaveLength(4);
  await expectEqual(nursery, phone);
  await phone.unfinished.rereadJournal();
  expect(await packedIds(phone)).toHaveLength(4);
  await phone.syncs();
  expect(await packedIds(phone)).toHaveLength(4);
  expect(await entriesOn(phone)).toHaveLength(nursery.journal.length);
  await expectEqual(nursery, phone);
});

type Fault = (phone: Phone) => Promise<unknown>;

test.each<[string, Fault]>([
  ['whose text is gone', async (phone) => (await phone.base.base()).clear('packed')],
  ['whose head is gone', async (phone) => (await phone.base.base()).clear('packs')],
  [
    'that cannot be read',
    async (phone) => {
      const open = await phone.base.base();
      const [body = ''] = await open.getAllKeys('packed');
      await open.put('packed', { ids: new Uint8Array(16), text: '{"v":1,"na\u0000\u0000' }, body);
      expect(await phone.read.potsOfWalk(WALK)).toBeNull();
    },
  ],
])('a pack %s has its lots read again', async (_, lose) => {
  const { nursery, phone } = await pulled();
  await lose(phone);
  const again = await openTab(nursery, PHONE, { disk: phone.disk });
  await again.read.potsOfWalk(WALK);
  await showsPots(again, 15);
  await again.syncs();
  expect(askedOf(nursery)).toEqual({ lots: [A, B, C], reread: false });
  await expectEqual(nursery, again);
});

test('a pack of which the browser refuses the bytes is not asked for again: its lots are read again, and the phone goes on', async () => {
  const { nursery, phone } = await pulled();
  const [lost = ''] = await (await phone.base.base()).getAllKeys('packed');
  const get = IDBObjectStore.prototype.get;
  vi.spyOn(IDBObjectStore.prototype, 'get').mockImplementation(function (this: IDBObjectStore, key) {
    if (this.name === 'packed' && key === lost) throw new DOMException('its bytes are gone', 'DataError');
    return get.call(this, key);
  });
  const again = await openTab(nursery, PHONE, { disk: phone.disk });
  expect(await again.read.potsOfWalk(WALK)).toBeNull();
  await showsPots(again, 15);
  await again.syncs();
  expect(askedOf(nursery)).toEqual({ lots: [A, B, C], reread: false });
  await expectEqual(nursery, again);
});

test('a page of more notes than one pack takes lies in several, of like size', async () => {
  size.MOST = 4;
  const { nursery, phone } = await pulled();
  expect((await packsOf(phone)).map(({ rows }) => rows.length).sort()).toEqual([3, 4, 4, 4]);
  expect(await phone.read.potsOfWalk(WALK))?.toHaveLength(15);
  await expectEqual(nursery, phone);
});

test.each<[string, (head: PackHead) => PackHead]>([
  ['lacks an id', (head) => ({ ...head, ids: head.ids.map((bits, at) => (at === 0 ? 7 : bits)) })],
  ['lacks a walk and a lot', (head) => ({ ...head, walks: [], lots: head.lots.slice(1) })],
])('a head that %s is put right once the records differ', async (_, change) => {
  const { nursery, phone, pots } = await pulled();
  await changePack(phone, change);
  const [first] = pots.get(A) as [Entry];
  const now = { ...(first.body as object), buds: 9 };
  const again = await openTab(nursery, PHONE, { disk: phone.disk });
  nursery.hears('correction', { pot: first.id, replaces: first.id, now }, { lot: A, bed: BED });
  for (let rounds = 0; rounds < 3; rounds++) await again.syncs();
  const [pack] = await packsOf(again);
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
  expect((await again.read.potsOfWalk(WALK))?.find(({ id }) => id === first.id)?.now.buds).toBe(9);
  if (await meta(again, 'digest')) expect(pack?.rows.some(({ id }) => id === first.id)).toBe(false);
});

test.each<[string, (head: PackHead) => PackHead]>([
  ['claims a later note', (head) => ({ ...head, last: 1_000_000 })],
  ['claims an earlier note', (head) => ({ ...head, first: -1, count: 9 })],
  ['says that all are out', (head) => ({ ...head, out: [...head.ids.keys()] })],
  ['says twice that one is out', (head) => ({ ...head, out: [0, 0] })],
  ['says that others than its own are out', (head) => ({ ...head, out: [7, 8, 9, 10, 11] })],
  ['has too few ids', (head) => ({ ...head, ids: head.ids.slice(1) })],
])('no recovery goes round for ever where a head %s', async (_, change) => {
  const nursery = new Comparing();
  planted(nursery, [A]);
  const restore = nursery.backup();
  nursery.hears('note', { words: 'lost' }, { lot: C });
  const phone = await openTab(nursery, PHONE);
  await phone.syncs();
  await changePack(phone, change);
  restore();
  nursery.hears('note', { words: 'in its place' }, { lot: C });
  await showsPots(phone, 5);
  await phone.syncs();
  expect(nursery.digests.at(-1)?.equal).toBe(true);
  const other = await openTab(nursery, PHONE);
  await other.syncs();
  await changePack(other, change);
  await other.unfinished.rereadJournal();
  expect((await packsOf(other)).every(({ head }) => head.unconfirmed)).toBe(true);
  await showsPots(other, 5);
  await other.syncs();
  await expectEqual(nursery, other);
});

test('what lies in a pack and in a row is what its row says', async () => {
  const { nursery, phone } = await pulled();
  const [pack] = await packsOf(phone);
  const [row] = pack?.rows ?? [];
  if (!row || !pack) throw new Error('nothing is packed');
  await phone.write.note('void', { names: row.id, records: [`pot:${row.id}`], why: 'mistake' }, { lot: A });
  await changePack(phone, () => pack.head);
  const again = await openTab(nursery, PHONE, { disk: phone.disk });
  expect(
    (await again.read.potsOfWalk(WALK))?.filter(({ id }) => id === row.id).map(({ voided }) => voided?.why),
  ).toEqual(['mistake']);
  for (let rounds = 0; rounds < 3; rounds++) await again.syncs();
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
});

test('a server that was set back: what it lost leaves its pack and is given back, what it has stays packed', async () => {
  const nursery = new Comparing();
  planted(nursery, [A]);
  const restore = nursery.backup();
  const pots = planted(nursery, [B]).get(B) ?? [];
  const phone = await openTab(nursery, PHONE);
  await phone.syncs();
  expect(await packedIds(phone)).toHaveLength(10);
  restore();
  nursery.hears('note', { words: 'in its place' }, { lot: C });
  await phone.syncs();
  expect(await packedIds(phone)).toHaveLength(5);
  nursery.minutesPass(11);
  for (let rounds = 0; rounds < 4; rounds++) await phone.syncs();
  // This server gives receipts that prove nothing, so it has a supervisor look at what comes back.
  for (const { id } of pots) expect(nursery.unproven.has(id)).toBe(true);
  expect((await entriesOn(phone)).filter(({ id }) => nursery.unproven.has(id))).toHaveLength(9);
  expect(await packedIds(phone)).toHaveLength(5);
  expect(nursery.digests.at(-1)?.equal).toBe(true);
});

test('a closed lot is let go out of its pack, and comes back whole', async () => {
  const nursery = new Comparing();
  planted(nursery, [A]);
  nursery.hears('count', { lot: A, change: -7, reason: 'shipped' }, { lot: A });
  const phone = await openTab(nursery, PHONE);
  await phone.syncs();
  nursery.hears('lot', { of: A, shipped_on: '2026-05-14' }, { lot: A });
  nursery.backsUp();
  await phone.syncs();
  nursery.minutesPass(31 * 24 * 60);
  nursery.hears('note', { words: 'a new day' });
  nursery.backsUp();
  for (let rounds = 0; rounds < 3; rounds++) await phone.syncs();
  expect((await meta<Map<string, { count: number }>>(phone, 'gone'))?.get(A)?.count).toBe(6);
  expect(await packsOf(phone)).toEqual([]);
  expect(await (await phone.base.base()).count('packed')).toBe(0);
  nursery.hears('count', { lot: A, change: 5, reason: 'found' }, { lot: A });
  for (let rounds = 0; rounds < 3; rounds++) await phone.syncs();
  expect((await phone.read.potsOfWalk(WALK))?.length).toBe(5);
  await expectEqual(nursery, phone);
});

test('closed between any two writes of a first pull and of the taking out, the phone ends the same', async () => {
  let closed = 0;
  for (let writes = 0, more = true; more; writes++) {
    const nursery = new Comparing();
    const [pot] = planted(nursery, [A, B]).get(A) as [Entry];
    const phone = await openTab(nursery, PHONE);
    const app = closeAfter(writes);
    await phone.syncs();
    nursery.hears('correction', { pot: pot.id, replaces: pot.id, now: pot.body }, { lot: A, bed: BED });
    await phone.syncs();
    more = app.wasClosed();
    vi.restoreAllMocks();
    const again = await openTab(nursery, PHONE, { disk: phone.disk });
    for (let rounds = 0; rounds < 2; rounds++) await again.syncs();
    expect(await packedIds(again)).toHaveLength(9);
    await expectEqual(nursery, again);
    closed += Number(more);
    again.use();
  }
  expect(closed).toBeGreaterThan(3);
});

test('packs are looked through page by page', async () => {
  const { nursery, phone, pots } = await pulled();
  size.PAGE = 3;
  for (let i = 0; i < 5; i++) {
    nursery.hears('observation', pots.get(A)?.[0]?.body ?? {}, { lot: A, bed: BED });
    await phone.syncs();
  }
  const again = await openTab(nursery, PHONE, { disk: phone.disk });
  const reads = watchReads();
  nursery.hears(
    'correction',
    { pot: pots.get(C)?.[0]?.id, replaces: pots.get(C)?.[0]?.id, now: pots.get(C)?.[0]?.body },
    { lot: C, bed: BED },
  );
  await again.syncs();
  expect(reads.rows()).toBeLessThanOrEqual(3);
  vi.restoreAllMocks();
  size.PAGE = 500;
  expect((await packsOf(again)).length).toBe(6);
  expect((await again.read.potsOfWalk(WALK))?.length).toBe(20);
});
