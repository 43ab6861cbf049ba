/** A bed of which only a part of the last walk is here, because a lot that it saw was shipped long ago. */
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { Closing, idOf } from '../../../journal/letgo/closing.testing';
import {
  EAST,
  EAST_BED,
  equalAgain,
  gives,
  opens,
  SCOUT,
  stands,
  startsAgain,
  street,
  WEST,
  WEST_BED,
} from '../../../journal/letgo/street.testing';
import { openTab } from '../../../journal/nursery.testing';

beforeEach(startsAgain);

afterEach(() => {
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
  localStorage.clear();
});

test('of a bed whose last walk also saw a lot that was shipped long ago nothing is said until its notes were fetched', async () => {
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
  nursery.minutesPass(40 * 24 * 60);
  const phone = await openTab(nursery, SCOUT);
  const { followCarried, isLacking, partialWalk } = await import('../../../journal/records/carried');
  const { bedLines } = await import('./due');
  await Promise.all([followCarried(), phone.registers.load()]);
  await phone.registers.loadRest();
  await phone.syncs();
  await opens(WEST);
  await phone.syncs();
  for (const { id } of west) expect((await phone.record(`pot:${id}`))?.pot).toBeDefined();
  expect((await phone.record(`pot:${pot.id}`))?.pot).toBeUndefined();
  await vi.waitFor(() => expect([...(phone.registers.beds.value.keys() ?? [])]).toContain(WEST_BED));
  await vi.waitFor(() => expect([isLacking(WEST_BED), isLacking(EAST_BED)]).toEqual([true, false]));
  const { briefs } = await import('../../../journal/records/briefs');
  const said = (lastWalkAt: number) =>
    (briefs.value = new Map([[WEST_BED, { bed: WEST_BED, lastWalkAt, whole: null, unfinished: null } as never]]));
  await (await import('../../../journal/inbox/arriving')).followArriving();
  said(partialWalk(WEST_BED));
  const line = bedLines(nursery.now()).find(({ bed }) => bed === WEST_BED);
  expect(line).toMatchObject({ isPartial: true, due: 'days' });
  expect(line?.days).toBeGreaterThan(30);
  // A walk from after the shipping saw nothing of it.
  said(nursery.now());
  expect(partialWalk(WEST_BED)).toBe(0);
  await (await import('../../../journal/letgo/keep')).keepLot(shipped, 'day');
  await phone.syncs();
  expect((await phone.record(`pot:${pot.id}`))?.pot).toBeDefined();
  await vi.waitFor(() => expect(isLacking(WEST_BED)).toBe(false));
  await equalAgain(nursery, phone);
});
