/** What a phone says of other houses while it does not hold all that it should: on its first pull, and once a house was opened. */
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { IDBIndex, IDBKeyRange } from 'fake-indexeddb';
import { problem } from '../answers.testing';
import { openTab } from '../nursery.testing';
import type { Cursor } from '../store/shape';
import { Closing, idOf } from './closing.testing';
import { meta } from './phones.testing';
import {
  EAST,
  EAST_BED,
  EAST_LOT,
  equalAgain,
  gives,
  goneOf,
  monthPasses,
  opens,
  pots,
  SCOUT,
  shrunk,
  stands,
  startsAgain,
  street,
  walks,
  WEST,
  WEST_BED,
  WEST_LOT,
} from './street.testing';

beforeEach(startsAgain);

afterEach(() => {
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
  localStorage.clear();
});

test('until what a first pull left out is counted, and the houses are known, records are still arriving', async () => {
  const nursery = new Closing();
  street(nursery);
  gives(nursery, [EAST]);
  const phone = await openTab(nursery, SCOUT);
  const [{ followArriving, firstReading }, { followCarried, away, isCarried }] = [
    await import('../inbox/arriving'),
    await import('../records/carried'),
  ];
  await Promise.all([followArriving(), followCarried(), phone.registers.load()]);
  const real = nursery.answer.bind(nursery);
  nursery.answer = async (device, person, path, init) => {
    if (path.startsWith('/api/gone')) throw new TypeError('Failed to fetch');
    return real(device, person, path, init);
  };
  await phone.syncs();
  expect(phone.sync.syncStatus.value.state).toBe('offline');
  expect(await pots(phone, WEST_LOT)).toBe(0);
  // The page that was the last: whoever looks now sees no walk on the west bed, and must not be shown that there was none.
  await vi.waitFor(() => expect(isCarried(WEST_BED)).toBe(false));
  expect(firstReading.value).toBe(1);
  nursery.answer = real;
  await phone.syncs();
  await vi.waitFor(() => expect([firstReading.value, away.value]).toEqual([undefined, new Set([WEST_LOT])]));
});

test('a server that went back to an earlier release, which cannot read what names the first pull, gives the whole journal', async () => {
  const nursery = new Closing();
  street(nursery);
  gives(nursery, [EAST]);
  const real = nursery.answer.bind(nursery);
  let refused = 0;
  let whole: boolean | undefined;
  nursery.answer = async (device, person, path, init) => {
    if (refused > 0 && path.startsWith('/api/pull')) whole ??= (await meta<Cursor>(phone, 'cursor'))?.whole;
    const named = new URL(path, 'http://nursery').searchParams.get('alive') ?? '1';
    if (named === '1') return real(device, person, path, init);
    refused++;
    return problem(400, 'parameter');
  };
  const phone = await openTab(nursery, SCOUT);
  await phone.syncs();
  expect(refused).toBe(1);
  // Until it has come, no screen says that all is here.
  expect(whole).toBe(false);
  expect([await pots(phone, EAST_LOT), await pots(phone, WEST_LOT)]).toEqual([3, 3]);
  await equalAgain(nursery, phone);
});

test('looking for what may go reads no record of a lot of which every note is newer', async () => {
  const nursery = new Closing();
  street(nursery);
  const phone = await shrunk(nursery);
  walks(nursery, WEST_LOT, WEST_BED, 5, 40);
  nursery.minutesPass(29 * 24 * 60);
  nursery.hears('note', { words: 'a new day' });
  const real = IDBIndex.prototype.getAll;
  let asked = 0;
  vi.spyOn(IDBIndex.prototype, 'getAll').mockImplementation(function (this: IDBIndex, ...of) {
    if (this.name === 'keys' && String(of[0] instanceof IDBKeyRange ? of[0].lower : of[0]).startsWith('pot:')) asked++;
    return real.apply(this, of);
  });
  await phone.syncs();
  expect(await pots(phone, WEST_LOT)).toBe(43);
  expect(asked).toBe(0);
});

test('a lot that the server does not give keeps no other lot of the house from coming', async () => {
  const nursery = new Closing();
  street(nursery);
  const next = idOf(1, 3);
  nursery.hears('lot', { of: next, tag: 'N-1' }, { lot: next });
  stands(nursery, next, WEST_BED);
  walks(nursery, next, WEST_BED, 4);
  gives(nursery, [EAST]);
  const phone = await openTab(nursery, SCOUT);
  await phone.syncs();
  expect([...(await goneOf(phone)).keys()].sort()).toEqual([WEST_LOT, next]);
  const real = nursery.answer.bind(nursery);
  nursery.answer = async (device, person, path, init) =>
    path.startsWith(`/api/lots/${WEST_LOT}/`) ? problem(404, 'no_such_lot') : real(device, person, path, init);
  await opens(WEST);
  await phone.syncs();
  expect([await pots(phone, WEST_LOT), await pots(phone, next)]).toEqual([0, 3]);
  await equalAgain(nursery, phone);
});

test('closed right after a lot has come back, the app computes again what it said of the beds that the lot is on', async () => {
  const nursery = new Closing();
  street(nursery);
  gives(nursery, [EAST]);
  const phone = await openTab(nursery, SCOUT);
  await phone.syncs();
  // As from a part of the pots, by a screen that was closed before it drew the rest.
  const brief = {
    walk: idOf(3, 2),
    lastWalkAt: 1,
    newestAt: 1,
    uniformity: 4,
    low: 0,
    high: 9,
    known: true,
    few: false,
  };
  const open = await phone.base.base();
  for (const bed of [EAST_BED, WEST_BED])
    await open.put('briefs', { bed, ...brief, seen: 1, limitingTrait: '', ended: true, whole: null });
  await opens(WEST);
  await phone.syncs();
  expect(await pots(phone, WEST_LOT)).toBe(3);
  expect(await open.getAllKeys('briefs')).toEqual([EAST_BED]);
});

test('with an opened house comes a lot that was shipped last week: the last walk of its bed saw it too', async () => {
  const nursery = new Closing();
  const { west } = street(nursery);
  const shipped = idOf(1, 3);
  nursery.hears('lot', { of: shipped, tag: 'S-1' }, { lot: shipped });
  const span = stands(nursery, shipped, WEST_BED);
  nursery.hears('count', { lot: shipped, change: 5, reason: 'opening' }, { lot: shipped });
  const seen = { walk: idOf(3, 2), bed: WEST_BED, lot: shipped, buds: 3 };
  const pot = nursery.hears('observation', seen, { lot: shipped, bed: WEST_BED });
  nursery.hears('count', { lot: shipped, change: -5, reason: 'shipped' }, { lot: shipped });
  nursery.hears('span', { of: span, ended: true }, { lot: shipped, bed: WEST_BED });
  const day = new Date(nursery.now()).toISOString().slice(0, 10);
  nursery.hears('lot', { of: shipped, shipped_on: day }, { lot: shipped });
  gives(nursery, [EAST]);
  nursery.minutesPass(7 * 24 * 60);
  const phone = await openTab(nursery, SCOUT);
  const { followCarried, isLacking } = await import('../records/carried');
  await Promise.all([followCarried(), phone.registers.load()]);
  await phone.syncs();
  expect([...(await goneOf(phone)).keys()].sort()).toEqual([WEST_LOT, shipped]);
  await vi.waitFor(() => expect(isLacking(WEST_BED)).toBe(true));
  await opens(WEST);
  await phone.syncs();
  for (const { id } of [pot, ...west]) expect((await phone.record(`pot:${id}`))?.pot).toBeDefined();
  await vi.waitFor(() => expect(isLacking(WEST_BED)).toBe(false));
  await equalAgain(nursery, phone);
  // Of a walk that saw a lot that is still alive nothing is let go, and nothing is fetched again and again.
  monthPasses(nursery);
  const before = nursery.asked.filter((path) => path.startsWith('/api/lots/')).length;
  for (let hours = 0; hours < 3; hours++) {
    nursery.minutesPass(61);
    await equalAgain(nursery, phone);
  }
  expect((await phone.record(`pot:${pot.id}`))?.pot).toBeDefined();
  expect(nursery.asked.filter((path) => path.startsWith('/api/lots/'))).toHaveLength(before);
});
