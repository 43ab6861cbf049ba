/** A phone that lets the notes of closed lots go answers for them as one that keeps everything. */
import { afterEach, expect, test, vi } from 'vitest';
import type { Entry } from '../../../../schema/types';
import { openTab } from '../nursery.testing';
import { Closing, DAY, idOf, rolls } from './closing.testing';
import { expectAnswersFor, goneOf, meta, type Phone } from './phones.testing';

const SCOUT = '00000000000000d1';
const DESK = '00000000000000d2';
const [LOT, OTHER, BED, WALK] = [idOf(1, 1), idOf(1, 2), idOf(2, 1), idOf(3, 1)];

afterEach(() => {
  vi.unstubAllGlobals();
  localStorage.clear();
});

function observation(lot: string, walk = WALK, buds = 10) {
  return { walk, bed: BED, lot, buds };
}

/** A lot with pots on a walk, shipped and empty. */
function season(nursery: Closing, lot = LOT, walk = WALK, pots = 3): Entry[] {
  nursery.hears('lot', { of: lot, tag: 'A-1' }, { lot });
  nursery.hears('count', { lot, change: 3, reason: 'opening' }, { lot });
  nursery.hears('walk', { walk, bed: BED, seed: 1, planned: pots }, { bed: BED });
  const seen = Array.from({ length: pots }, () =>
    nursery.hears('observation', observation(lot, walk), { lot, bed: BED }),
  );
  nursery.hears('walk_end', { walk, bed: BED, why: 'enough' }, { bed: BED });
  nursery.hears('note', { words: 'dry' }, { lot });
  return seen;
}

function ships(nursery: Closing, lot = LOT): void {
  nursery.hears('count', { lot, change: -3, reason: 'shipped' }, { lot });
  nursery.hears('lot', { of: lot, shipped_on: '2026-05-14' }, { lot });
}

function monthPasses(nursery: Closing, days = 31): void {
  nursery.minutesPass(days * 24 * 60);
}

async function held(phone: Phone, lot = LOT): Promise<string[]> {
  return (await (await phone.base.base()).getAllFromIndex('entries', 'lot', lot)).map(({ entry }) => entry.kind).sort();
}

/** A phone that has read everything and looks again after a month. */
async function lateOn(nursery: Closing): Promise<Phone> {
  const phone = await openTab(nursery, SCOUT);
  await phone.syncs();
  nursery.backsUp();
  monthPasses(nursery);
  const again = await openTab(nursery, SCOUT, { disk: phone.disk });
  nursery.hears('note', { words: 'a new day' });
  await again.syncs();
  return again;
}

test('a closed lot that is backed up and quiet for a month is let go; its place, ledger and walk stay, and the digest covers all', async () => {
  const nursery = new Closing();
  season(nursery);
  ships(nursery);
  const phone = await lateOn(nursery);
  expect(await held(phone)).toEqual(['count', 'count', 'lot', 'lot']);
  expect((await goneOf(phone)).get(LOT)?.count).toBe(4);
  expect(await phone.record(`walk:${WALK}`)).toBeDefined();
  expect(await meta(phone, `summary:${LOT}`)).toMatchObject({ shipped_on: '2026-05-14', asOf: expect.any(Number) });
  nursery.hears('note', { words: 'another day' });
  await phone.syncs();
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
});

test.each([
  ['no backup has it', (nursery: Closing) => (nursery.backedUpTo = 5)],
  [
    'a pot is still there',
    (nursery: Closing) => nursery.hears('count', { lot: LOT, change: 1, reason: 'found' }, { lot: LOT }),
  ],
  [
    'it stands on a bed',
    (nursery: Closing) => nursery.hears('span', { of: idOf(4, 1), lot: LOT, bed: BED }, { lot: LOT }),
  ],
  [
    'two people say different days',
    (nursery: Closing) => nursery.hears('lot', { of: LOT, shipped_on: '2026-05-15', saw: [] }, { lot: LOT }),
  ],
  ['the server is an older one', (nursery: Closing) => (nursery.isOld = true)],
  ['the device is a desk', (nursery: Closing) => nursery.desks.add(SCOUT)],
  [
    'another lot of its walk is alive',
    (nursery: Closing) => {
      nursery.hears('lot', { of: OTHER, tag: 'B-1' }, { lot: OTHER });
      nursery.hears('observation', observation(OTHER), { lot: OTHER, bed: BED });
    },
  ],
])('nothing of its pots is let go while %s', async (_, but) => {
  const nursery = new Closing();
  season(nursery);
  ships(nursery);
  const phone = await openTab(nursery, SCOUT);
  await phone.syncs();
  nursery.backsUp();
  but(nursery);
  const backedUp = nursery.backedUpTo;
  await phone.syncs();
  if (backedUp > 5) nursery.backsUp();
  monthPasses(nursery);
  const again = await openTab(nursery, SCOUT, { disk: phone.disk });
  nursery.hears('note', { words: 'a new day' });
  await again.syncs();
  expect((await held(again)).filter((kind) => kind === 'observation')).toHaveLength(3);
});

test('a walk stays whole while the server does not yet count one of its lots as long closed', async () => {
  const nursery = new Closing();
  season(nursery);
  season(nursery, OTHER);
  ships(nursery);
  ships(nursery, OTHER);
  const all = nursery.gone.bind(nursery);
  // An old note of it arrived only now.
  nursery.gone = (pull) => all(pull).filter(({ lot }) => lot === LOT);
  const phone = await lateOn(nursery);
  expect((await held(phone)).filter((kind) => kind === 'observation')).toHaveLength(3);
  expect((await held(phone, OTHER)).filter((kind) => kind === 'observation')).toHaveLength(3);
});

test('nothing is let go before the month is over by the clock of the server, whatever that of the phone says', async () => {
  const nursery = new Closing();
  season(nursery);
  ships(nursery);
  const phone = await openTab(nursery, SCOUT);
  await phone.syncs();
  nursery.backsUp();
  vi.spyOn(Date, 'now').mockReturnValue(nursery.now() + 400 * DAY);
  nursery.hears('note', { words: 'a new day' });
  await phone.syncs();
  vi.restoreAllMocks();
  expect((await goneOf(phone)).size).toBe(0);
});

test('a late note moves the sum at once; a correction of a pot that is gone is paid, and no half record is made of it', async () => {
  const nursery = new Closing();
  const [pot] = season(nursery);
  ships(nursery);
  const phone = await lateOn(nursery);
  nursery.hears('note', { words: 'late' }, { lot: LOT });
  nursery.hears(
    'correction',
    { pot: pot?.id, replaces: pot?.id, now: observation(LOT, WALK, 99) },
    { lot: LOT, bed: BED },
  );
  await phone.syncs();
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
  expect((await meta<Map<string, number>>(phone, 'owed'))?.size).toBe(0);
  expect(await phone.record(`pot:${pot?.id}`)).toEqual({ key: `pot:${pot?.id}` });
});

test('while what a late note changed cannot be asked for, records are not compared, and the notes are', async () => {
  const nursery = new Closing();
  const [pot] = season(nursery);
  ships(nursery);
  const phone = await lateOn(nursery);
  nursery.hears('void', { names: pot?.id, records: [`pot:${pot?.id}`], why: 'mistake' }, { lot: LOT });
  nursery.isOld = true;
  await phone.syncs();
  expect([...((await meta<Map<string, number>>(phone, 'owed')) ?? [])]).toEqual([
    [`pot:${pot?.id}`, nursery.journal.length],
  ]);
  nursery.isOld = false;
  await phone.syncs();
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
});

test('a lot that is alive again comes back whole, with what was corrected while it was gone', async () => {
  const nursery = new Closing();
  const [pot] = season(nursery);
  ships(nursery);
  const phone = await lateOn(nursery);
  nursery.hears('correction', { pot: pot?.id, replaces: pot?.id, now: observation(LOT, WALK, 99) }, { lot: LOT });
  await phone.syncs();
  nursery.hears('count', { lot: LOT, change: 1, reason: 'found' }, { lot: LOT });
  await phone.syncs();
  expect((await goneOf(phone)).size).toBe(0);
  expect((await phone.record(`pot:${pot?.id}`))?.pot?.now.buds).toBe(99);
  expect(await held(phone)).toContain('observation');
  nursery.hears('note', { words: 'another day' });
  await phone.syncs();
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
});

test('a lot that somebody asks for comes back, and goes again when it is wanted no more', async () => {
  const nursery = new Closing();
  season(nursery);
  ships(nursery);
  const phone = await lateOn(nursery);
  const { keepLot, whereabouts } = await import('./keep');
  expect(await whereabouts(LOT)).toMatchObject({ gone: 4, pinned: false, asked: false, summary: { tag: 'A-1' } });
  await keepLot(LOT, 'pinned');
  expect(await whereabouts(LOT)).toMatchObject({ gone: 4, pinned: true, asked: true });
  await phone.syncs();
  expect(await whereabouts(LOT)).toEqual({ gone: 0, pinned: true, asked: false });
  monthPasses(nursery);
  nursery.hears('note', { words: 'another day' });
  nursery.backsUp();
  await phone.syncs();
  expect(await whereabouts(LOT)).toMatchObject({ gone: 0 });
  await keepLot(LOT, 'free');
  nursery.minutesPass(61);
  nursery.hears('note', { words: 'yet another day' });
  await phone.syncs();
  expect(await whereabouts(LOT)).toMatchObject({ gone: 4, pinned: false });
});

test('a lot whose notes are not those that once passed is not taken back', async () => {
  const nursery = new Closing();
  season(nursery);
  ships(nursery);
  const phone = await lateOn(nursery);
  nursery.spoil = (items) => items.slice(0, -4).concat(items.slice(-3));
  const { keepLot } = await import('./keep');
  await keepLot(LOT, 'day');
  await phone.syncs();
  expect((await goneOf(phone)).get(LOT)?.count).toBe(4);
  expect(await held(phone)).not.toContain('observation');
});

test('a first pull leaves out what is closed, goes on after a kill, and answers for all of it at the head', async () => {
  const nursery = new Closing();
  season(nursery, LOT, WALK, 120);
  ships(nursery);
  monthPasses(nursery);
  season(nursery, OTHER, idOf(3, 2), 120);
  const first = await openTab(nursery, SCOUT);
  await expect(
    first.pull.pullAll(async () => {
      throw new Error('killed');
    }),
  ).rejects.toThrow('killed');
  nursery.hears('note', { words: 'late' }, { lot: LOT });
  const phone = await openTab(nursery, SCOUT, { disk: first.disk });
  await phone.syncs();
  expect(await held(phone)).toEqual(['count', 'count', 'lot', 'lot', 'note']);
  expect((await goneOf(phone)).get(LOT)?.count).toBe(121);
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
});

test('a server that was set back to before what was let go is read again from the beginning', async () => {
  const nursery = new Closing();
  season(nursery);
  const setBack = nursery.backup();
  nursery.hears('observation', observation(LOT), { lot: LOT, bed: BED });
  ships(nursery);
  const phone = await lateOn(nursery);
  expect((await goneOf(phone)).size).toBe(1);
  setBack();
  nursery.hears('note', { words: 'after' });
  await phone.syncs();
  expect((await goneOf(phone)).size).toBe(0);
  expect((await held(phone)).filter((kind) => kind === 'observation')).toHaveLength(3);
});

// Once the sums followed the server that had been set back, and nobody ever learned that notes were gone from everywhere.
test('what a phone had counted before a server was set back is told once, a day later, where the server has less', async () => {
  const nursery = new Closing();
  season(nursery);
  const setBack = nursery.backup();
  nursery.hears('observation', observation(LOT), { lot: LOT, bed: BED });
  ships(nursery);
  const phone = await lateOn(nursery);
  expect((await goneOf(phone)).get(LOT)?.count).toBe(5);
  const told = () => nursery.sums.map(({ lots }) => lots.find(({ lot }) => lot === LOT)?.counted);
  setBack();
  nursery.hears('note', { words: 'after' });
  await phone.syncs();
  expect(told().filter(Boolean)).toEqual([]);
  nursery.minutesPass(30);
  nursery.hears('note', { words: 'others give back what they have' });
  await phone.syncs();
  nursery.minutesPass(24 * 60);
  const again = await openTab(nursery, SCOUT, { disk: phone.disk });
  nursery.hears('note', { words: 'a day later' });
  await again.syncs();
  // 9 notes of the lot had passed: two writes, two counts, four pots and a note.
  expect(told().filter(Boolean)).toEqual([9]);
  nursery.hears('note', { words: 'and later' });
  await again.syncs();
  expect(told().filter(Boolean)).toHaveLength(1);
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
});

test('whatever comes, in whatever order, sums and records are those of a phone that keeps everything', async () => {
  for (let seed = 1; seed <= 4; seed++) {
    const roll = rolls(seed);
    const nursery = new Closing();
    nursery.desks.add(DESK);
    const desk = await openTab(nursery, DESK, { person: 'c'.repeat(32) });
    let scout = await openTab(nursery, SCOUT);
    const lots = [0, 1, 2].map((n) => idOf(5, n));
    const pots: { id: string; lot: string; walk: string }[] = [];
    let went = 0;
    for (const lot of lots) season(nursery, lot, idOf(6, lots.indexOf(lot)), 0);
    for (let day = 0; day < 12; day++) {
      for (let notes = roll(6); notes > 0; notes--) anything(nursery, roll, lots, pots);
      if (roll(3) > 0) nursery.backsUp();
      nursery.minutesPass(roll(2) * 40 * 24 * 60 + 61);
      if (roll(3) === 0) scout = await openTab(nursery, SCOUT, { disk: scout.disk });
      for (const phone of [scout, desk]) {
        await phone.syncs();
        expect(nursery.digests.at(-1)?.equal, `seed ${seed}, day ${day}`).toBe(true);
      }
      await expectAnswersFor(scout, desk, `seed ${seed}, day ${day}`);
      went += (await goneOf(scout)).size;
    }
    expect(went, `seed ${seed}: a day on which nothing is let go shows nothing`).toBeGreaterThan(0);
  }
});

function anything(
  nursery: Closing,
  roll: (below: number) => number,
  lots: readonly string[],
  pots: { id: string; lot: string; walk: string }[],
): void {
  const lot = lots[roll(lots.length)] ?? '';
  const pot = pots[roll(pots.length)];
  const kind = roll(9);
  if (kind < 3) {
    const walk = idOf(6, roll(4));
    pots.push({ id: nursery.hears('observation', observation(lot, walk, roll(50)), { lot, bed: BED }).id, lot, walk });
  } else if (kind === 3 && pot) {
    const now = observation(pot.lot, pot.walk, roll(50));
    nursery.hears('correction', { pot: pot.id, replaces: pot.id, now }, { lot: pot.lot });
  } else if (kind === 4 && pot) {
    nursery.hears(
      'void',
      { names: pot.id, records: [`pot:${pot.id}`], why: 'mistake' },
      { lot: roll(3) ? pot.lot : lot },
    );
  } else if (kind === 5) nursery.hears('event', { lot, what: 'pinch' }, { lot });
  else if (kind === 6) ships(nursery, lot);
  else if (kind === 7 && roll(3) === 0) nursery.hears('count', { lot, change: 3, reason: 'found' }, { lot });
  else nursery.hears('note', { words: 'words' }, { lot });
}
