/** What a lost pack takes with it: no number comes of the rest of a walk, no sum counts twice, and nothing stays lost in silence. */
import { afterEach, expect, test, vi } from 'vitest';
import type { Correction, DigestAnswer, Entry } from '../../../../schema/types';
import { packedIds, packsOf } from '../held.testing';
import { idOf } from '../letgo/closing.testing';
import { goneOf, meta, type Phone } from '../letgo/phones.testing';
import { openTab } from '../nursery.testing';
import type { Meta } from '../store/shape';
import { A, askedOf, B, BED, C, expectEqual, PHONE, planted, pulled, WALK } from './compared.testing';
import { Comparing } from './comparing.testing';

vi.mock('../store/pageSize', () => ({ PAGE: 500, LEAST: 1, MOST: 4 }));

afterEach(() => {
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
  localStorage.clear();
});

async function bodiesOf(phone: Phone): Promise<string[]> {
  return (await phone.base.base()).getAllKeys('packed');
}

/** The browser no longer gives what lies under these keys. */
function refuse(...lost: string[]): void {
  const get = IDBObjectStore.prototype.get;
  vi.spyOn(IDBObjectStore.prototype, 'get').mockImplementation(function (this: IDBObjectStore, key) {
    if (this.name === 'packed' && lost.includes(key as string))
      throw new DOMException('its bytes are gone', 'DataError');
    return get.call(this, key);
  });
}

type Fault = (phone: Phone, body: string) => Promise<unknown>;
const spoilt = { ids: new Uint8Array(16), text: '{"v":1,"na\u0000\u0000' };

const faults: [string, Fault][] = [
  ['body is gone', async (phone, body) => (await phone.base.base()).delete('packed', body)],
  ['body cannot be read', async (phone, body) => (await phone.base.base()).put('packed', spoilt, body)],
  ['body is refused', async (_, body) => refuse(body)],
  [
    'head is gone',
    async (phone, body) => {
      const [pack] = (await packsOf(phone)).filter(({ head }) => head.body === body);
      await (await phone.base.base()).delete('packs', pack?.head.name ?? '');
    },
  ],
  [
    'head is gone, and whose body cannot be read',
    async (phone, body) => {
      await faults[3]?.[1](phone, body);
      await faults[1]?.[1](phone, body);
    },
  ],
  [
    'head is gone, and whose body is refused',
    async (phone, body) => {
      await faults[3]?.[1](phone, body);
      refuse(body);
    },
  ],
];

test.each(faults)('of a walk with a pack whose %s nothing is shown until all its pots are here', async (_, lose) => {
  const { nursery, phone } = await pulled();
  expect(await phone.read.potsOfWalk(WALK)).toHaveLength(15);
  const [body = ''] = await bodiesOf(phone);
  await lose(phone, body);
  const again = await openTab(nursery, PHONE, { disk: phone.disk });
  const told: number[] = [];
  const stop = again.read.followWalk(WALK, (rows, isPartial) => told.push(isPartial ? -1 : rows.length));
  nursery.trouble = 'offline';
  await again.syncs();
  expect(await again.read.potsOfWalk(WALK)).toBeNull();
  nursery.trouble = 'none';
  for (let rounds = 0; rounds < 4; rounds++) {
    await again.syncs();
    expect([undefined, 15]).toContain((await again.read.potsOfWalk(WALK))?.length);
  }
  expect(await again.read.potsOfWalk(WALK)).toHaveLength(15);
  await vi.waitFor(() => expect(told.at(-1)).toBe(15), 20_000);
  stop();
  expect(told.filter((count) => count !== 15 && count !== -1)).toEqual([]);
  await again.syncs();
  await expectEqual(nursery, again);
  expect(await meta(again, 'partial')).toBeUndefined();
});

test('a head and a body of two packs that are lost at once leave no walk in part', async () => {
  const { nursery, phone } = await pulled();
  const other = idOf(3, 2);
  for (const buds of [1, 2, 3, 4])
    nursery.hears('observation', { walk: other, bed: BED, lot: C, buds }, { lot: C, bed: BED });
  await phone.syncs();
  const [ofOther] = (await packsOf(phone)).filter(({ head }) => head.walks.includes(other));
  const [ofWalk] = (await packsOf(phone)).filter(({ head }) => head.walks.includes(WALK));
  const open = await phone.base.base();
  await open.delete('packs', ofWalk?.head.name ?? '');
  await open.delete('packed', ofOther?.head.body ?? '');
  const again = await openTab(nursery, PHONE, { disk: phone.disk });
  expect(await again.read.potsOfWalk(WALK)).toBeNull();
  for (let rounds = 0; rounds < 3; rounds++) await again.syncs();
  expect(await again.read.potsOfWalk(WALK)).toHaveLength(15);
  expect(await again.read.potsOfWalk(other)).toHaveLength(4);
  await expectEqual(nursery, again);
});

test('a walk begun after a loss of which nobody can say the walks is whole; those before it are in part', async () => {
  const { nursery, phone } = await pulled();
  nursery.hears('walk', { walk: WALK, bed: BED, seed: 1, planned: 15 }, { bed: BED });
  await phone.syncs();
  const [body = ''] = await bodiesOf(phone);
  await faults[4]?.[1](phone, body);
  await (await import('./packs')).repairPacks();
  const own = idOf(3, 7);
  await phone.write.note('walk', { walk: own, bed: BED, seed: 1, planned: 5 });
  await phone.write.note('observation', { walk: own, bed: BED, lot: B, buds: 7 }, { lot: B, bed: BED });
  expect(await phone.read.potsOfWalk(WALK)).toBeNull();
  expect(await phone.read.potsOfWalk(own)).toHaveLength(1);
  for (let rounds = 0; rounds < 3; rounds++) await phone.syncs();
  expect(await phone.read.potsOfWalk(WALK)).toHaveLength(15);
  expect(await phone.read.potsOfWalk(own)).toHaveLength(1);
  expect(await meta(phone, 'partial')).toBeUndefined();
  expect(nursery.digests.at(-1)?.equal).toBe(true);
});

test('what is read again after a pack was lost lies in packs again; what is corrected or one’s own stays in rows', async () => {
  const { nursery, phone, pots } = await pulled();
  const [first, second] = pots.get(B) as [Entry, Entry];
  nursery.hears('correction', { pot: first.id, replaces: first.id, now: first.body }, { lot: B, bed: BED });
  const own = await phone.write.note('observation', { walk: WALK, bed: BED, lot: B, buds: 7 }, { lot: B, bed: BED });
  await phone.syncs();
  await phone.write.note('void', { names: second.id, records: [`pot:${second.id}`], why: 'mistake' }, { lot: B });
  for (const body of await bodiesOf(phone)) await (await phone.base.base()).delete('packed', body);
  const again = await openTab(nursery, PHONE, { disk: phone.disk });
  for (let rounds = 0; rounds < 4; rounds++) await again.syncs();
  expect(askedOf(nursery)).toEqual({ lots: [A, B, C], reread: false });
  const packed = await packedIds(again);
  expect(packed).toHaveLength(13);
  for (const id of [first.id, second.id, own.entry.id]) expect(packed).not.toContain(id);
  const rows = await (await again.base.base()).getAll('entries');
  expect(rows.filter(({ id }) => packed.includes(id))).toEqual([]);
  expect(await again.read.potsOfWalk(WALK)).toHaveLength(16);
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
});

test('a pack that is lost while a digest is on its way is not counted as here by its answer', async () => {
  const { nursery, phone } = await pulled();
  const [body = ''] = await bodiesOf(phone);
  nursery.hears('note', { words: 'one more' }, { lot: C });
  const real = nursery.answer.bind(nursery);
  let lost = false;
  vi.spyOn(nursery, 'answer').mockImplementation(async (device, person, path, init) => {
    const answer = await real(device, person, path, init);
    if (path.startsWith('/api/digest') && !lost) {
      lost = true;
      await (await phone.base.base()).put('packed', spoilt, body);
      const page = await openTab(nursery, PHONE, { disk: phone.disk });
      expect(await page.read.potsOfWalk(WALK)).toBeNull();
      await vi.waitFor(async () => expect(await meta(page, 'partial')).toBeDefined(), 20_000);
    }
    return answer;
  });
  for (let rounds = 0; rounds < 4; rounds++) await phone.syncs();
  expect(lost).toBe(true);
  expect(await phone.read.potsOfWalk(WALK)).toHaveLength(15);
  await expectEqual(nursery, phone);
});

test('while the journal is still to be read again no digest makes walks whole: what lay in a lost pack is missing in no sum', async () => {
  const { nursery, phone } = await pulled();
  const [body = ''] = await bodiesOf(phone);
  await faults[4]?.[1](phone, body);
  // Another thread finds it when the worker is about to compare.
  await (await import('./packs')).repairPacks();
  await (await import('../inbox/digest')).sendDigest(await phone.pull.cursorNow());
  expect(nursery.digests.at(-1)?.equal).toBe(true);
  expect(await phone.read.potsOfWalk(WALK)).toBeNull();
  for (let rounds = 0; rounds < 3; rounds++) await phone.syncs();
  expect(await phone.read.potsOfWalk(WALK)).toHaveLength(15);
  await expectEqual(nursery, phone);
});

test('a walk of which all notes are here again is whole, also where records go on differing', async () => {
  const { nursery, phone } = await pulled();
  // The server makes something else of the same notes, which no reading again puts right.
  const real = nursery.answer.bind(nursery);
  vi.spyOn(nursery, 'answer').mockImplementation(async (device, person, path, init) => {
    const answer = await real(device, person, path, init);
    if (!path.startsWith('/api/digest')) return answer;
    const said = (await answer.json()) as DigestAnswer;
    return Response.json({ ...said, equal: false, records_differ: [B] });
  });
  nursery.hears('note', { words: 'one more' }, { lot: C });
  for (let rounds = 0; rounds < 3; rounds++) await phone.syncs();
  const [body = ''] = await bodiesOf(phone);
  await (await phone.base.base()).put('packed', spoilt, body);
  const page = await openTab(nursery, PHONE, { disk: phone.disk });
  expect(await page.read.potsOfWalk(WALK)).toBeNull();
  await vi.waitFor(async () => expect(await meta(page, 'partial')).toBeDefined(), 20_000);
  for (let rounds = 0; rounds < 3; rounds++) await phone.syncs();
  expect(await page.read.potsOfWalk(WALK)).toHaveLength(15);
});

test('what is lost differs from when it was found on, not from when phone and server last matched', async () => {
  const { phone } = await pulled();
  const [body = ''] = await bodiesOf(phone);
  await (await phone.base.base()).put('meta', { equal: true, position: 25, at: 1 }, 'digest');
  await (await phone.base.base()).delete('packed', body);
  const found = Date.now();
  await (await import('./packs')).repairPacks();
  const said = await meta<Meta['digest']>(phone, 'digest');
  expect(said?.equal).toBe(false);
  expect(said?.at).toBeGreaterThanOrEqual(found);
});

test('packs that the browser refuses while the journal is read again hold up nothing: what waits is sent in the same round', async () => {
  const { nursery, phone: first } = await pulled();
  await first.writes('kept here');
  const phone = await openTab(nursery, PHONE, { disk: first.disk });
  await (await phone.base.base()).put('meta', { reread: { after: '' } }, 'recovery');
  refuse(...(await bodiesOf(phone)));
  await phone.syncs();
  expect([await phone.pending(), phone.sync.syncStatus.value.state]).toEqual([0, 'resting']);
  for (let rounds = 0; rounds < 2; rounds++) await phone.syncs();
  expect(await phone.read.potsOfWalk(WALK)).toHaveLength(15);
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
});

test('what is let go leaves its pack and is counted once, whatever its head says of its id', async () => {
  const nursery = new Comparing();
  planted(nursery, [A]);
  nursery.hears('count', { lot: A, change: -7, reason: 'shipped' }, { lot: A });
  const first = await openTab(nursery, PHONE);
  await first.syncs();
  const open = await first.base.base();
  for (const { head } of await packsOf(first)) {
    await open.delete('packs', head.name);
    await open.put('packs', { ...head, ids: head.ids.map((bits, at) => (at === 0 ? 7 : bits)) });
  }
  const phone = await openTab(nursery, PHONE, { disk: first.disk });
  nursery.hears('lot', { of: A, shipped_on: '2026-05-14' }, { lot: A });
  nursery.backsUp();
  await phone.syncs();
  for (let days = 31; days < 34; days++) {
    nursery.minutesPass((days === 31 ? days : 1) * 24 * 60);
    nursery.hears('note', { words: 'a new day' });
    nursery.backsUp();
    for (let rounds = 0; rounds < 3; rounds++) await phone.syncs();
  }
  expect((await goneOf(phone)).get(A)?.count).toBe(6);
  expect(await packsOf(phone)).toEqual([]);
  nursery.hears('count', { lot: A, change: 5, reason: 'found' }, { lot: A });
  for (let rounds = 0; rounds < 3; rounds++) await phone.syncs();
  expect(await phone.read.potsOfWalk(WALK)).toHaveLength(5);
  await expectEqual(nursery, phone);
});

test('for a pot that has just been seen no other pack is looked through: neither when it is corrected nor when it is struck out', async () => {
  const { nursery, phone, pots } = await pulled();
  const [first, second] = pots.get(B) as [Entry, Entry];
  expect(await packsOf(phone)).toHaveLength(4);
  const again = await openTab(nursery, PHONE, { disk: phone.disk });
  await again.read.potsOfWalk(WALK);
  const heads = vi.spyOn(IDBObjectStore.prototype, 'getAllKeys');
  const read = vi.spyOn(IDBObjectStore.prototype, 'getAll');
  const now = { ...(first.body as object), buds: 9 };
  const correction = { pot: first.id, replaces: first.id, now } as unknown as Correction;
  await again.write.note('correction', correction, { lot: B, bed: BED });
  await again.write.note('void', { names: second.id, records: [`pot:${second.id}`], why: 'mistake' }, { lot: B });
  const ofPacks = (calls: { contexts: unknown[] }) =>
    calls.contexts.filter((store) => (store as IDBObjectStore).name === 'packs').length;
  expect([ofPacks(heads.mock), ofPacks(read.mock)]).toEqual([0, 2]);
  expect(read.mock.calls.filter(([, most]) => most === 1)).toHaveLength(2);
  vi.restoreAllMocks();
  expect(await packedIds(again)).toHaveLength(13);
  await again.syncs();
  await again.syncs();
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
});

test('for an own pot no pack is looked through: neither when it is noted or corrected, nor when that is sent and comes back', async () => {
  const { nursery, phone } = await pulled();
  const now = { walk: WALK, bed: BED, lot: B, buds: 7 };
  const own = await phone.write.note('observation', now, { lot: B, bed: BED });
  await phone.syncs();
  const again = await openTab(nursery, PHONE, { disk: phone.disk });
  // The first round counts them.
  await again.syncs();
  const reads: string[] = [];
  for (const name of ['get', 'getAll', 'getAllKeys', 'count'] as const) {
    const real = IDBObjectStore.prototype[name] as (...asked: unknown[]) => IDBRequest;
    vi.spyOn(IDBObjectStore.prototype, name).mockImplementation(function (this: IDBObjectStore, ...asked: unknown[]) {
      if (this.name.startsWith('pack')) reads.push(`${this.name}.${name}`);
      return real.apply(this, asked);
    } as never);
  }
  const correction = { pot: own.entry.id, replaces: own.entry.id, now: { ...now, buds: 8 } };
  await again.write.note('correction', correction, { lot: B, bed: BED });
  await again.write.note('observation', { ...now, buds: 9 }, { lot: B, bed: BED });
  await again.syncs();
  expect(await again.pending()).toBe(0);
  expect(reads).toEqual([]);
  vi.restoreAllMocks();
  expect((await again.read.potsOfWalk(WALK))?.find(({ id }) => id === own.entry.id)?.now.buds).toBe(8);
  expect(askedOf(nursery).lots).toEqual([]);
});
