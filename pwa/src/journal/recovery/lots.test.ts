/** What differs is read again lot by lot, with its proof; the whole journal only where that does not help. */
import { afterEach, expect, test, vi } from 'vitest';
import { IDBFactory } from 'fake-indexeddb';
import type { Entry } from '../../../../schema/types';
import { sumHex } from '../../../../sync/journal/journal';
import { recordHash } from '../../../../sync/fold/fold';
import { idOf } from '../letgo/closing.testing';
import { openTab } from '../nursery.testing';
import { closeAfter } from '../reads.testing';
import type { EntryRow, KeptRow, LotSum } from '../store/shape';
import { Comparing } from './comparing.testing';

const PHONE = '00000000000000d1';
const OTHER = '00000000000000d2';
const [A, B, C, BED, WALK] = [idOf(1, 1), idOf(1, 2), idOf(1, 3), idOf(2, 1), idOf(3, 1)];

type Phone = Awaited<ReturnType<typeof openTab>>;

afterEach(() => {
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
  localStorage.clear();
});

/** Pots and comments of some lots, and a house that belongs to none. @returns the pots of each lot */
function planted(nursery: Comparing, lots = [A, B, C]): Map<string, Entry[]> {
  nursery.hears('house', { of: idOf(5, 1), name: 'North' });
  return new Map(
    lots.map((lot) => {
      nursery.hears('lot', { of: lot, tag: `L-${lot.slice(-1)}` }, { lot });
      const seen = [1, 2, 3, 4, 5].map((buds) =>
        nursery.hears('observation', { walk: WALK, bed: BED, lot, buds }, { lot, bed: BED }),
      );
      nursery.hears('count', { lot, change: 7, reason: 'opening' }, { lot });
      nursery.hears('note', { words: 'dry' }, { lot });
      return [lot, seen] as const;
    }),
  );
}

async function meta<T>(phone: Phone, key: string): Promise<T | undefined> {
  phone.use();
  return (await (await phone.base.base()).get('meta', key)) as T | undefined;
}

/** Which lots were asked for, and whether the journal was read from its beginning again since the first time. */
function askedOf(nursery: Comparing): { lots: string[]; reread: boolean } {
  const lots = nursery.asked.flatMap((path) => /^\/api\/lots\/(.+)\/entries$/.exec(path)?.[1] ?? []);
  return { lots: [...new Set(lots)], reread: nursery.pulls.filter((after) => after === 0).length > 1 };
}

/** What a phone holds of the journal and has made of it. */
async function held(phone: Phone) {
  phone.use();
  const open = await phone.base.base();
  const entries = await open.getAll('entries');
  const records = await open.getAll('records');
  return {
    entries: entries.map(({ receipt: _made, ...row }) => row),
    records: records.map(({ key, text, hash }) => [key, text, hash]),
    sums: await meta(phone, 'sums'),
    recordSum: await meta(phone, 'recordSum'),
  };
}

/** What a phone that was never disturbed holds of this server's journal. */
async function undisturbed(nursery: Comparing) {
  const phone = await openTab(nursery, OTHER, { disk: new IDBFactory() });
  await phone.syncs();
  return held(phone);
}

async function expectEqual(nursery: Comparing, phone: Phone): Promise<void> {
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
  expect(await meta(phone, 'digest')).toMatchObject({ equal: true, position: nursery.journal.length });
  expect(await held(phone)).toEqual(await undisturbed(nursery));
}

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

/** Changes what a phone keeps of a pot, past the app. */
async function spoils(phone: Phone, key: string, change: (row: KeptRow) => KeptRow | undefined): Promise<void> {
  phone.use();
  const open = await phone.base.base();
  const row = await open.get('records', key);
  const next = row && change(row);
  if (next) await open.put('records', next);
  else await open.delete('records', key);
}

const otherText = (row: KeptRow): KeptRow => ({ ...row, text: row.text.replace(/"buds":\d/, '"buds":9') });
const otherRecord = (row: KeptRow): KeptRow => {
  const { text } = otherText(row);
  return { ...row, text, hash: sumHex(recordHash(JSON.parse(text) as never)) };
};

test.each([
  ['its text was changed', otherText],
  ['its text and its hash were changed', otherRecord],
  ['its row is lost', () => undefined],
])('a record is folded again from what is here, without a question, where %s on the disk', async (_, change) => {
  const nursery = new Comparing();
  const [pot] = planted(nursery).get(B) ?? [];
  const key = `pot:${pot?.id ?? ''}`;
  const phone = await openTab(nursery, PHONE);
  await phone.syncs();
  await spoils(phone, key, change);
  // As it would be found by the next note of that pot: the sum of all records is not what the server has.
  await (await phone.base.base()).put('meta', sumHex(5n), 'recordSum');
  nursery.hears('note', { words: 'a new day' });
  await phone.syncs();
  expect(askedOf(nursery)).toEqual({ lots: [], reread: false });
  await expectEqual(nursery, phone);
});

test('where a note was changed on the disk, its lot is asked of the server after the records were folded again', async () => {
  const nursery = new Comparing();
  const [pot] = planted(nursery).get(B) ?? [];
  const id = pot?.id ?? '';
  const phone = await openTab(nursery, PHONE);
  await phone.syncs();
  const row = (await phone.entry(id)) as EntryRow;
  const entry = { ...row.entry, body: { ...(row.entry.body as object), buds: 8 } } as Entry;
  await (await phone.base.base()).put('entries', { ...row, entry });
  nursery.hears(
    'correction',
    { pot: id, replaces: idOf(9, 9), now: { walk: WALK, bed: BED, lot: B, buds: 6 } },
    { lot: B },
  );
  await phone.syncs();
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
