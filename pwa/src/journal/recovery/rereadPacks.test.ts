/** A journal that is read again whole leaves the phone as small as it was: what lay in packs stays there, and never becomes rows on the way. */
import { afterEach, expect, test, vi } from 'vitest';
import type { Entry } from '../../../../schema/types';
import { entriesOn, packedIds, packsOf } from '../held.testing';
import { type Phone } from '../letgo/phones.testing';
import { openTab } from '../nursery.testing';
import { closeAfter } from '../reads.testing';
import { A, B, BED, C, expectEqual, PHONE, planted, pulled, WALK } from './compared.testing';
import { Comparing } from './comparing.testing';

const size = vi.hoisted(() => ({ LEAST: 1 }));
vi.mock('../store/pageSize', () => ({
  PAGE: 500,
  get LEAST() {
    return size.LEAST;
  },
  MOST: 4,
}));

afterEach(() => {
  size.LEAST = 1;
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
  localStorage.clear();
});

async function rowsOn(phone: Phone): Promise<{ entries: number; records: number; packs: number; bodies: number }> {
  const open = await phone.base.base();
  const [entries, records, packs, bodies] = await Promise.all([
    open.count('entries'),
    open.count('records'),
    open.count('packs'),
    open.count('packed'),
  ]);
  return { entries, records, packs, bodies };
}

test('a journal that is read again whole makes no row of what lies in packs, and ends with as many of each as before', async () => {
  const { nursery, phone } = await pulled();
  const before = await rowsOn(phone);
  const packed = await packedIds(phone);
  expect([packed.length, before.packs, before.bodies]).toEqual([15, 4, 4]);
  await phone.unfinished.rereadJournal();
  expect(await rowsOn(phone)).toEqual(before);
  expect((await packsOf(phone)).flatMap(({ rows }) => rows.map(({ state }) => state))).toEqual(
    Array.from({ length: 15 }, () => 'unconfirmed'),
  );
  expect(await phone.read.potsOfWalk(WALK)).toHaveLength(15);
  await phone.syncs();
  expect(await rowsOn(phone)).toEqual(before);
  expect(await packedIds(phone)).toEqual(packed);
  await expectEqual(nursery, phone);
});

test('pots that an earlier build has left in rows are packed when the journal is read again; what is corrected stays in rows', async () => {
  size.LEAST = 1_000;
  const { nursery, phone, pots } = await pulled();
  const [first, second] = pots.get(A) as [Entry, Entry];
  nursery.hears('correction', { pot: first.id, replaces: first.id, now: first.body }, { lot: A, bed: BED });
  await phone.syncs();
  await phone.write.note('void', { names: second.id, records: [`pot:${second.id}`], why: 'mistake' }, { lot: A });
  expect(await packedIds(phone)).toEqual([]);
  size.LEAST = 1;
  await phone.unfinished.rereadJournal();
  await phone.syncs();
  const packed = await packedIds(phone);
  expect(packed).toHaveLength(13);
  for (const { id } of [first, second]) expect(packed).not.toContain(id);
  const shown = (await phone.read.potsOfWalk(WALK)) ?? [];
  expect([shown.length, shown.filter(({ voided }) => voided).length]).toEqual([15, 1]);
  await phone.syncs();
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
});

test('a server that was set back without a sign: what it lost leaves its pack and is given back once, what it shows again stays packed', async () => {
  const nursery = new Comparing();
  planted(nursery, [A]);
  const restore = nursery.backup();
  const lost = planted(nursery, [B]).get(B) ?? [];
  const phone = await openTab(nursery, PHONE);
  await phone.syncs();
  expect(await packedIds(phone)).toHaveLength(10);
  restore('whole disk');
  const kept = planted(nursery, [C]).get(C) ?? [];
  await phone.unfinished.rereadJournal();
  const [pot] = lost as [Entry];
  await phone.write.note('void', { names: pot.id, records: [`pot:${pot.id}`], why: 'mistake' }, { lot: B });
  for (let rounds = 0; rounds < 2; rounds++) await phone.syncs();
  expect(await packedIds(phone)).toHaveLength(10);
  expect(await packedIds(phone)).toEqual(expect.arrayContaining(kept.map(({ id }) => id)));
  const missing = (await entriesOn(phone)).filter(({ state }) => state === 'unconfirmed');
  expect(missing.map(({ id }) => id)).toEqual(expect.arrayContaining(lost.map(({ id }) => id)));
  nursery.minutesPass(11);
  for (let rounds = 0; rounds < 4; rounds++) await phone.syncs();
  for (const { id } of lost) expect(nursery.unproven.has(id)).toBe(true);
  expect(nursery.digests.at(-1)?.equal).toBe(true);
  expect(await packedIds(phone)).toHaveLength(10);
});

test('a head that was spoilt while the journal is read again makes no missing note of one that came', async () => {
  const { nursery, phone } = await pulled();
  await phone.unfinished.rereadJournal();
  const open = await phone.base.base();
  for (const { head } of await packsOf(phone)) {
    await open.delete('packs', head.name);
    const ids = head.ids.map((bits, at) => (at === 0 ? 7 : bits));
    await open.put('packs', { ...head, ids, name: `${head.body}${'0'.repeat(12)}` });
  }
  const again = await openTab(nursery, PHONE, { disk: phone.disk });
  await again.syncs();
  expect((await entriesOn(again)).filter(({ state }) => state !== undefined)).toEqual([]);
  for (let rounds = 0; rounds < 2; rounds++) await again.syncs();
  expect(await packedIds(again)).toHaveLength(15);
  await expectEqual(nursery, again);
});

test('closed between any two writes of reading again, the phone ends the same, and as small', async () => {
  let closed = 0;
  for (let writes = 0, more = true; more; writes++) {
    const { nursery, phone, pots } = await pulled();
    const before = await rowsOn(phone);
    const [pot] = pots.get(B) as [Entry];
    nursery.hears('correction', { pot: pot.id, replaces: pot.id, now: pot.body }, { lot: B, bed: BED });
    const app = closeAfter(writes);
    await phone.unfinished.rereadJournal().catch(() => undefined);
    await phone.syncs();
    more = app.wasClosed();
    vi.restoreAllMocks();
    const again = await openTab(nursery, PHONE, { disk: phone.disk });
    for (let rounds = 0; rounds < 2; rounds++) await again.syncs();
    expect(await packedIds(again), `closed after ${writes} writes`).toHaveLength(14);
    expect(await rowsOn(again)).toEqual({ ...before, entries: before.entries + 2, records: before.records + 1 });
    await expectEqual(nursery, again);
    closed += Number(more);
    again.use();
  }
  expect(closed).toBeGreaterThan(4);
});
