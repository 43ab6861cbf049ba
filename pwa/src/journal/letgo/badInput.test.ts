/** What a phone that does not hold everything makes of answers that do not fit, and of a server that is a month younger than the phone. */
import { afterEach, expect, test, vi } from 'vitest';
import { problem } from '../answers.testing';
import { entriesOn } from '../held.testing';
import { openTab } from '../nursery.testing';
import { Closing, DAY, idOf } from './closing.testing';
import { goneOf, meta, type Phone } from './phones.testing';

const SCOUT = '00000000000000d1';
const DESK = '00000000000000d2';
const [LOT, BED, WALK] = [idOf(1, 1), idOf(2, 1), idOf(3, 1)];

afterEach(() => {
  vi.unstubAllGlobals();
  localStorage.clear();
});

/** A lot that was walked, shipped and has left no pot. @returns the ids of its pots */
function season(nursery: Closing, pots: number): string[] {
  nursery.hears('lot', { of: LOT, tag: 'A-1' }, { lot: LOT });
  nursery.hears('walk', { walk: WALK, bed: BED, seed: 1, planned: pots }, { bed: BED });
  const seen = Array.from({ length: pots }, () =>
    nursery.hears('observation', { walk: WALK, bed: BED, lot: LOT, buds: 10 }, { lot: LOT, bed: BED }),
  );
  nursery.hears('count', { lot: LOT, change: 3, reason: 'opening' }, { lot: LOT });
  nursery.hears('count', { lot: LOT, change: -3, reason: 'shipped' }, { lot: LOT });
  nursery.hears('lot', { of: LOT, shipped_on: '2026-05-14' }, { lot: LOT });
  return seen.map(({ id }) => id);
}

async function equalAgain(nursery: Closing, phone: Phone): Promise<void> {
  nursery.hears('note', { words: 'another day' });
  await phone.syncs();
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
}

async function pots(phone: Phone): Promise<number> {
  return (await entriesOn(phone)).filter(({ entry }) => entry.lot === LOT && entry.kind === 'observation').length;
}

test('a first pull that the server cannot continue, since a backup was restored, begins again and lacks nothing', async () => {
  const nursery = new Closing();
  season(nursery, 120);
  nursery.minutesPass(31 * 24 * 60);
  const real = nursery.answer.bind(nursery);
  let refused = 0;
  nursery.answer = async (device, person, path, init) => {
    const alive = new URL(path, 'http://nursery').searchParams.get('alive') ?? '1';
    if (alive === '1' || refused > 0) return real(device, person, path, init);
    refused++;
    return problem(409, 'first_pull_over');
  };
  const phone = await openTab(nursery, SCOUT);
  await phone.syncs();
  expect(refused).toBe(1);
  expect([await pots(phone), (await goneOf(phone)).size]).toEqual([120, 0]);
  await equalAgain(nursery, phone);
});

test.each([
  ['refuses', () => problem(404, 'no_such_lot')],
  ['forbids', () => problem(403, 'role')],
])(
  'a lot that the server %s to give stays what it was counted as, is asked for again, and nothing else waits for it',
  async (_, refusal) => {
    const nursery = new Closing();
    season(nursery, 3);
    nursery.minutesPass(31 * 24 * 60);
    const phone = await openTab(nursery, SCOUT);
    await phone.syncs();
    const before = await goneOf(phone);
    expect(before.get(LOT)?.count).toBe(3);
    const real = nursery.answer.bind(nursery);
    nursery.answer = async (device, person, path, init) =>
      path.startsWith(`/api/lots/${LOT}/`) ? refusal() : real(device, person, path, init);
    const { keepLot, whereabouts } = await import('./keep');
    await keepLot(LOT, 'pinned');
    await equalAgain(nursery, phone);
    expect(await goneOf(phone)).toEqual(before);
    expect(await whereabouts(LOT)).toMatchObject({ gone: 3, asked: true, pinned: true });
    nursery.answer = real;
    for (let round = 0; round < 4; round++) await equalAgain(nursery, phone);
    expect(await pots(phone)).toBe(3);
  },
);

test('what a lot is summed up by says when it was made, however old that is, and is gone once the lot is here', async () => {
  const nursery = new Closing();
  const [pot = ''] = season(nursery, 3);
  nursery.minutesPass(31 * 24 * 60);
  const phone = await openTab(nursery, SCOUT);
  await phone.syncs();
  const made = nursery.now();
  nursery.minutesPass(10 * 24 * 60);
  const now = { walk: WALK, bed: BED, lot: LOT, buds: 99 };
  nursery.hears('correction', { pot, replaces: pot, now }, { lot: LOT });
  await phone.syncs();
  const { keepLot, whereabouts } = await import('./keep');
  const { summary } = await whereabouts(LOT);
  expect(Math.abs((summary?.asOf ?? 0) - made)).toBeLessThan(DAY);
  await keepLot(LOT, 'day');
  await phone.syncs();
  expect((await whereabouts(LOT)).summary).toBeUndefined();
  expect((await phone.record(`pot:${pot}`))?.pot?.now.buds).toBe(99);
});

test('after a backup a month old was restored, phones that had let go send and give back all that it lacks', async () => {
  const nursery = new Closing();
  nursery.desks.add(DESK);
  season(nursery, 3);
  const desk = await openTab(nursery, DESK, { person: 'c'.repeat(32) });
  let scout = await openTab(nursery, SCOUT);
  for (const phone of [desk, scout]) await phone.syncs();
  nursery.backsUp();
  const restore = nursery.backup();
  nursery.minutesPass(31 * 24 * 60);
  // A month of notes of others, and of the phone itself, that the backup does not have.
  const others = [1, 2, 3].map((n) => nursery.hears('note', { words: `other ${n}` }).id);
  const own = (await scout.write.note('note', { words: 'own' })).entry.id;
  scout = await openTab(nursery, SCOUT, { disk: scout.disk });
  for (const phone of [scout, desk]) await phone.syncs();
  nursery.minutesPass(70);
  for (const phone of [scout, desk]) await equalAgain(nursery, phone);
  expect((await goneOf(scout)).get(LOT)?.count).toBe(3);
  const had = nursery.journal.map((item) => (item.entry as { id: string }).id).sort();
  expect(had).toEqual(expect.arrayContaining([...others, own]));
  restore();
  for (const minutes of [1, 11, 11]) {
    nursery.minutesPass(minutes);
    for (const phone of [scout, desk]) await phone.syncs();
  }
  expect(nursery.journal.map((item) => (item.entry as { id: string }).id).sort()).toEqual(had);
  expect(await pots(scout)).toBe((await goneOf(scout)).has(LOT) ? 0 : 3);
  for (const phone of [scout, desk]) await equalAgain(nursery, phone);
  // Nothing was fewer than had been counted, so no phone reports that.
  nursery.minutesPass(25 * 60);
  await equalAgain(nursery, scout);
  expect(nursery.sums.flatMap(({ lots }) => lots.filter(({ counted }) => counted))).toEqual([]);
  expect(await meta(scout, 'owed')).toEqual(undefined);
});
