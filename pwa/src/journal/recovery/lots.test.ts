/** What differs is read again lot by lot, with its proof; the whole journal only where that does not help. */
import { afterEach, expect, test, vi } from 'vitest';
import type { Entry } from '../../../../schema/types';
import { sumHex } from '../../../../sync/journal/journal';
import { idOf } from '../letgo/closing.testing';
import { meta } from '../letgo/phones.testing';
import { openTab } from '../nursery.testing';
import { closeAfter, watchReads } from '../reads.testing';
import type { LotSum } from '../store/shape';
import { A, askedOf, B, C, expectEqual, PHONE, planted } from './compared.testing';
import { Comparing } from './comparing.testing';

const size = vi.hoisted(() => ({ PAGE: 500 }));
vi.mock('../store/pageSize', () => ({
  get PAGE() {
    return size.PAGE;
  },
  LEAST: 50,
  MOST: 200,
}));

afterEach(() => {
  size.PAGE = 500;
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
  localStorage.clear();
});

test('notes that a page left out are read again of their lot alone', async () => {
  const nursery = new Comparing();
  const lost = planted(nursery).get(B)?.slice(1, 3) ?? [];
  const ids = lost.map(({ id }) => id);
  nursery.skips = ({ id }) => ids.includes(id);
  const phone = await openTab(nursery, PHONE);
  await phone.syncs();
  expect(ids).toHaveLength(2);
  expect(askedOf(nursery)).toEqual({ lots: [B], reread: false });
  nursery.skips = () => false;
  for (const id of ids) expect((await phone.record(`pot:${id}`))?.pot).toBeDefined();
  await expectEqual(nursery, phone);
});

test('a lot of which all was left out is read again, and one of which the sum alone is wrong keeps its notes', async () => {
  const nursery = new Comparing();
  planted(nursery);
  nursery.skips = ({ lot }) => lot === C;
  const phone = await openTab(nursery, PHONE);
  await phone.syncs();
  nursery.skips = () => false;
  // Counted twice, as by a page that was taken twice; and a lot that the server does not know.
  const sums = await meta<Record<string, LotSum>>(phone, 'sums');
  const twice = { count: 2 * (sums?.[A]?.count ?? 0), sum: sumHex(7n) };
  await (await phone.base.base()).put('meta', { ...sums, [A]: twice, [idOf(1, 9)]: twice }, 'sums');
  nursery.hears('note', { words: 'a new day' });
  await phone.syncs();
  expect(askedOf(nursery)).toEqual({ lots: [C, A], reread: false });
  await expectEqual(nursery, phone);
});

test('one of the own notes that the server shows is merged with its bytes as they were sent', async () => {
  const nursery = new Comparing();
  planted(nursery);
  const phone = await openTab(nursery, PHONE);
  await phone.syncs();
  const { entry } = await phone.write.note('note', { words: 'mine' }, { lot: A });
  await phone.writes('after it');
  nursery.skips = ({ id }) => id === entry.id;
  await phone.syncs();
  nursery.skips = () => false;
  const row = await phone.entry(entry.id);
  expect(row?.text).toContain('"words":"mine"');
  expect([row?.position, row?.state]).toEqual([nursery.journal.length - 1, undefined]);
  expect(askedOf(nursery)).toEqual({ lots: [A], reread: false });
  expect(nursery.digests.at(-1)?.equal).toBe(true);
});

test('closed between any two writes, and opened again, the phone ends as if nothing had been left out', async () => {
  let closed = 0;
  for (let writes = 0, more = true; more; writes++) {
    const nursery = new Comparing();
    const lost = [...planted(nursery).values()].map(([first]) => first?.id);
    nursery.skips = ({ id }) => lost.includes(id);
    const phone = await openTab(nursery, PHONE);
    const app = closeAfter(writes);
    await phone.syncs();
    more = app.wasClosed();
    vi.restoreAllMocks();
    const again = await openTab(nursery, PHONE, { disk: phone.disk });
    for (let rounds = 0; rounds < 3; rounds++) await again.syncs();
    nursery.skips = () => false;
    await expectEqual(nursery, again);
    if (more) expect(nursery.asked.filter((path) => path.startsWith('/api/lots/')).length).toBeGreaterThanOrEqual(3);
    closed += Number(more);
    again.use();
  }
  expect(closed).toBeGreaterThan(5);
});

test('what does not prove itself changes nothing, and after two tries the whole journal is read again', async () => {
  const nursery = new Comparing();
  const [lost] = planted(nursery).get(B) ?? [];
  const id = lost?.id ?? '';
  // The reading of the whole shows what was left out.
  nursery.skips = (entry) => entry.id === id && !askedOf(nursery).reread;
  nursery.spoil = (items) => items.slice(1);
  const phone = await openTab(nursery, PHONE);
  const asked: (readonly [string | undefined, number])[] = [];
  const real = nursery.answer.bind(nursery);
  nursery.answer = async (device, person, path, init) => {
    const sums = await meta<Record<string, LotSum>>(phone, 'sums');
    if (path.startsWith('/api/lots/')) asked.push([sums?.[B]?.sum, (await phone.entry(id)) ? 1 : 0]);
    return real(device, person, path, init);
  };
  await phone.syncs();
  expect(new Set(asked.map(([sum]) => sum)).size).toBe(1);
  expect(asked.every(([, there]) => there === 0)).toBe(true);
  expect(nursery.asked.filter((path) => path === `/api/lots/${B}/entries`)).toHaveLength(2);
  expect(askedOf(nursery)).toEqual({ lots: [B], reread: true });
  await expectEqual(nursery, phone);
});

test('a server that has no such pages has the whole journal read again once', async () => {
  const nursery = new Comparing();
  const [lost] = planted(nursery).get(B) ?? [];
  nursery.skips = (entry) => entry.id === lost?.id && nursery.pulls.length < 2;
  nursery.isOld = true;
  const phone = await openTab(nursery, PHONE);
  await phone.syncs();
  expect(askedOf(nursery).reread).toBe(true);
  await expectEqual(nursery, phone);
});

test.each([
  ['a note of no lot is missing', (nursery: Comparing) => (nursery.skips = ({ kind }) => kind === 'house')],
  [
    'more lots differ than an answer names',
    (nursery: Comparing) => {
      nursery.most = 2;
      nursery.skips = ({ kind }) => kind === 'note';
    },
  ],
])('the whole journal is read again where %s', async (_, but) => {
  const nursery = new Comparing();
  planted(nursery);
  but(nursery);
  const phone = await openTab(nursery, PHONE);
  const real = nursery.skips;
  nursery.skips = (entry) => !askedOf(nursery).reread && real(entry);
  await phone.syncs();
  expect(askedOf(nursery)).toEqual({ lots: [], reread: true });
  await expectEqual(nursery, phone);
});

test('a lot of which the phone has notes that the server has not shows another journal: all of it is read again, and they are given back', async () => {
  const nursery = new Comparing();
  planted(nursery);
  const restore = nursery.backup();
  const others = nursery.hears('note', { words: 'lost' }, { lot: A });
  const phone = await openTab(nursery, PHONE);
  await phone.syncs();
  phone.use();
  const { entry: own } = await phone.write.note('note', { words: 'mine, lost' }, { lot: B });
  await phone.syncs();
  restore('whole disk');
  for (const words of ['in its place', 'and another', 'and one more']) nursery.hears('note', { words }, { lot: C });
  await phone.syncs();
  nursery.minutesPass(11);
  for (let rounds = 0; rounds < 4; rounds++) await phone.syncs();
  expect(askedOf(nursery).reread).toBe(true);
  const ids = new Set([...nursery.journal.map(({ entry }) => (entry as Entry).id), ...nursery.unproven]);
  expect([ids.has(own.id), ids.has(others.id)]).toEqual([true, true]);
  expect(await phone.entry(own.id)).toBeDefined();
  expect(await phone.entry(others.id)).toBeDefined();
});

test('a lot is read again in pages as it is in one', async () => {
  const nursery = new Comparing();
  const lost = planted(nursery).get(B)?.slice(1, 3) ?? [];
  nursery.skips = ({ id }) => lost.some((entry) => entry.id === id);
  const phone = await openTab(nursery, PHONE);
  size.PAGE = 3;
  const reads = watchReads();
  await phone.syncs();
  // The inbox itself comes in pages of its own; here it is the database that is read.
  expect(reads.rows()).toBeLessThanOrEqual(3);
  vi.restoreAllMocks();
  size.PAGE = 500;
  nursery.skips = () => false;
  expect(askedOf(nursery)).toEqual({ lots: [B], reread: false });
  await expectEqual(nursery, phone);
});

test('a lot whose notes were let go comes back whole where its sum is wrong', async () => {
  const nursery = new Comparing();
  planted(nursery, [A]);
  nursery.hears('count', { lot: A, change: -7, reason: 'shipped' }, { lot: A });
  nursery.hears('lot', { of: A, shipped_on: '2026-05-14' }, { lot: A });
  nursery.minutesPass(31 * 24 * 60);
  const phone = await openTab(nursery, PHONE);
  await phone.syncs();
  expect((await meta<Map<string, LotSum>>(phone, 'gone'))?.get(A)?.count).toBe(6);
  const sums = await meta<Record<string, LotSum>>(phone, 'sums');
  await (await phone.base.base()).put('meta', { ...sums, [A]: { count: 9, sum: sumHex(1n) } }, 'sums');
  nursery.hears('note', { words: 'a late word' }, { lot: A });
  nursery.hears('note', { words: 'a new day' });
  await phone.syncs();
  expect((await meta<Map<string, LotSum>>(phone, 'gone'))?.size).toBe(0);
  expect(askedOf(nursery)).toEqual({ lots: [A], reread: false });
  nursery.isOld = true;
  await expectEqual(nursery, phone);
});
