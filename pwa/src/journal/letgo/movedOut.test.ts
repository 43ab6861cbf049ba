/** A lot that moved out of the houses that a phone carries goes a month later, and what is said of the bed that it left is never said by halves. */
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { openTab } from '../nursery.testing';
import { Closing, DAY, idOf } from './closing.testing';
import type { Phone } from './phones.testing';
import {
  EAST,
  EAST_BED,
  EAST_LOT,
  equalAgain,
  gives,
  goneOf,
  monthPasses,
  pots,
  SCOUT,
  shrunk,
  stands,
  startsAgain,
  street,
  walks,
  WEST_BED,
} from './street.testing';

beforeEach(startsAgain);

afterEach(() => {
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
  localStorage.clear();
});

/** The east lot leaves for the west house. */
function movesOut(nursery: Closing): void {
  stands(nursery, EAST_LOT, WEST_BED, 1);
  nursery.hears('span', { of: idOf(4, 1), ended: true }, { lot: EAST_LOT, bed: EAST_BED });
}

/** Another lot that stands on the east bed. */
function another(nursery: Closing): string {
  const next = idOf(1, 3);
  nursery.hears('lot', { of: next, tag: 'N-1' }, { lot: next });
  stands(nursery, next, EAST_BED);
  return next;
}

/** What screens ask of a bed, on a phone that has started. */
async function beds(phone: Phone) {
  const carried = await import('../records/carried');
  await Promise.all([carried.followCarried(), phone.registers.load()]);
  await phone.registers.loadRest();
  return carried;
}

test('it goes once that is a month ago, what it is walked since stays until that is as old, and it comes back whole when it moves back', async () => {
  const nursery = new Closing();
  street(nursery);
  const phone = await shrunk(nursery);
  movesOut(nursery);
  nursery.backsUp();
  nursery.minutesPass(29 * 24 * 60);
  nursery.hears('note', { words: 'not yet' });
  await phone.syncs();
  expect(await pots(phone, EAST_LOT)).toBe(3);
  nursery.minutesPass(2 * 24 * 60);
  walks(nursery, EAST_LOT, WEST_BED, 5, 2);
  await phone.syncs();
  expect([(await goneOf(phone)).get(EAST_LOT), await pots(phone, EAST_LOT)]).toEqual([3, 2]);
  await equalAgain(nursery, phone);
  stands(nursery, EAST_LOT, EAST_BED, 2);
  await phone.syncs();
  expect([await pots(phone, EAST_LOT), (await goneOf(phone)).has(EAST_LOT)]).toEqual([5, false]);
  await equalAgain(nursery, phone);
});

test.each([
  [
    'somebody says that its stretch has not ended',
    (nursery: Closing) => nursery.hears('span', { of: idOf(4, 1), ended: false }, { lot: EAST_LOT, bed: EAST_BED }),
  ],
  [
    'it has left the other house too, and stands nowhere',
    (nursery: Closing) => nursery.hears('span', { of: idOf(5, 1), ended: true }, { lot: EAST_LOT, bed: WEST_BED }),
  ],
  [
    'a lot that stands in the house was seen on the same walk',
    (nursery: Closing) => {
      const next = another(nursery);
      nursery.hears('observation', { walk: idOf(3, 1), bed: EAST_BED, lot: next, buds: 3 }, { lot: next });
    },
  ],
])('nothing of it goes while %s', async (_, but) => {
  const nursery = new Closing();
  street(nursery);
  const phone = await shrunk(nursery);
  movesOut(nursery);
  but(nursery);
  await phone.syncs();
  monthPasses(nursery);
  monthPasses(nursery);
  await phone.syncs();
  expect(await pots(phone, EAST_LOT)).toBe(3);
  await equalAgain(nursery, phone);
});

test('a fresh phone is without it, and says that the last walk of the bed saw it, until it was asked for or the bed was walked since', async () => {
  for (const how of ['asked for', 'walked'] as const) {
    startsAgain();
    vi.unstubAllGlobals();
    localStorage.clear();
    const nursery = new Closing();
    street(nursery);
    gives(nursery, [EAST]);
    const next = another(nursery);
    movesOut(nursery);
    nursery.minutesPass(40 * 24 * 60);
    const phone = await openTab(nursery, SCOUT);
    await phone.syncs();
    const { comingTo, isLacking, partialWalk } = await beds(phone);
    expect((await goneOf(phone)).get(EAST_LOT)).toBe(3);
    await vi.waitFor(() => expect(partialWalk(EAST_BED)).toBeGreaterThan(0));
    // It does not come by itself: the page offers to get it.
    expect([isLacking(EAST_BED), comingTo(EAST_BED)]).toEqual([true, []]);
    if (how === 'asked for') await (await import('./keep')).keepLot(EAST_LOT, 'day');
    else walks(nursery, next, EAST_BED, 7);
    await phone.syncs();
    await vi.waitFor(() => expect([isLacking(EAST_BED), partialWalk(EAST_BED)]).toEqual([false, 0]));
    expect(await pots(phone, EAST_LOT)).toBe(how === 'asked for' ? 3 : 0);
    await equalAgain(nursery, phone);
  }
});

test('a phone of all houses says too that the last walk of a bed saw a lot that has been shipped and is not here', async () => {
  const nursery = new Closing();
  street(nursery);
  nursery.hears('count', { lot: EAST_LOT, change: 5, reason: 'opening' }, { lot: EAST_LOT });
  nursery.hears('count', { lot: EAST_LOT, change: -5, reason: 'shipped' }, { lot: EAST_LOT });
  nursery.hears('span', { of: idOf(4, 1), ended: true }, { lot: EAST_LOT, bed: EAST_BED });
  const day = new Date(nursery.now()).toISOString().slice(0, 10);
  nursery.hears('lot', { of: EAST_LOT, shipped_on: day }, { lot: EAST_LOT });
  another(nursery);
  nursery.minutesPass(40 * 24 * 60);
  const phone = await openTab(nursery, SCOUT);
  await phone.syncs();
  const { carried, comingTo, isLacking, partialWalk } = await beds(phone);
  expect(carried.value).toBeUndefined();
  expect((await goneOf(phone)).get(EAST_LOT)).toBe(3);
  await vi.waitFor(() => expect(partialWalk(EAST_BED)).toBeGreaterThan(0));
  expect([isLacking(EAST_BED), comingTo(EAST_BED), isLacking(WEST_BED)]).toEqual([true, [], false]);
  await (await import('./keep')).keepLot(EAST_LOT, 'day');
  await phone.syncs();
  await vi.waitFor(() => expect(isLacking(EAST_BED)).toBe(false));
});

test('a last walk that was not whole says nothing of the whole one before it, which saw a lot that is not here', async () => {
  const nursery = new Closing();
  street(nursery);
  gives(nursery, [EAST]);
  another(nursery);
  const whole = nursery.now();
  movesOut(nursery);
  nursery.minutesPass(40 * 24 * 60);
  const phone = await openTab(nursery, SCOUT);
  await phone.syncs();
  const { partialWalk } = await beds(phone);
  const { briefs } = await import('../records/briefs');
  const said = { uniformity: 4, low: 0, high: 9, known: true, few: false, limitingTrait: '', seen: 1, ended: true };
  const last = { bed: EAST_BED, walk: idOf(3, 9), lastWalkAt: nursery.now() - DAY, newestAt: 1 };
  briefs.value = new Map([[EAST_BED, { ...last, ...said, whole: { at: whole, roots: 'open', chlorosis: 'open' } }]]);
  await vi.waitFor(() => expect(partialWalk(EAST_BED)).toBe(whole));
});
