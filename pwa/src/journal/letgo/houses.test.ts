/** A phone that carries some houses answers for the others as one that keeps everything, and has each of them back when it is opened. */
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { Entry } from '../../../../schema/types';
import { openTab } from '../nursery.testing';
import type { Carried } from '../store/shape';
import { Closing, idOf, rolls } from './closing.testing';
import { expectAnswersFor, meta } from './phones.testing';
import {
  ANA,
  beds,
  DESK,
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
  vi.unstubAllGlobals();
  localStorage.clear();
});

test('a first pull leaves out other houses; places and walks are here, and the digest covers all', async () => {
  const nursery = new Closing();
  street(nursery);
  gives(nursery, [EAST]);
  const phone = await openTab(nursery, SCOUT);
  await phone.syncs();
  expect([await pots(phone, EAST_LOT), await pots(phone, WEST_LOT)]).toEqual([3, 0]);
  expect(await goneOf(phone)).toEqual(new Map([[WEST_LOT, 3]]));
  expect(await phone.record(`bed:${WEST_BED}`)).toBeDefined();
  expect(await phone.record(`walk:${idOf(3, 2)}`)).toBeDefined();
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
  await equalAgain(nursery, phone);
});

test('a house that is opened comes whole, with what was corrected meanwhile, and stays until it is closed or other houses are given', async () => {
  const nursery = new Closing();
  const { west } = street(nursery);
  gives(nursery, [EAST]);
  const phone = await openTab(nursery, SCOUT);
  await phone.syncs();
  const now = { walk: idOf(3, 2), bed: WEST_BED, lot: WEST_LOT, buds: 99 };
  nursery.hears('correction', { pot: west[0]?.id, replaces: west[0]?.id, now }, { lot: WEST_LOT, bed: WEST_BED });
  await phone.syncs();
  expect(await phone.record(`pot:${west[0]?.id}`)).toEqual({ key: `pot:${west[0]?.id}` });
  await opens(WEST);
  await phone.syncs();
  expect([await pots(phone, WEST_LOT), (await goneOf(phone)).size]).toEqual([3, 0]);
  expect((await phone.record(`pot:${west[0]?.id}`))?.pot?.now.buds).toBe(99);
  await equalAgain(nursery, phone);
  monthPasses(nursery);
  await phone.syncs();
  expect(await pots(phone, WEST_LOT)).toBe(3);
  gives(nursery, [EAST, idOf(7, 3)]);
  nursery.minutesPass(61);
  await phone.syncs();
  expect(await meta<Carried>(phone, 'carried')).toEqual({ own: [EAST, idOf(7, 3)], opened: [] });
  expect([await pots(phone, EAST_LOT), await pots(phone, WEST_LOT)]).toEqual([3, 0]);
  await equalAgain(nursery, phone);
});

test('a house whose notes are not those that once passed is not taken', async () => {
  const nursery = new Closing();
  street(nursery);
  gives(nursery, [EAST]);
  const phone = await openTab(nursery, SCOUT);
  await phone.syncs();
  nursery.spoil = (items) => items.slice(0, -1);
  await opens(WEST);
  await phone.syncs();
  expect([await pots(phone, WEST_LOT), (await goneOf(phone)).get(WEST_LOT)]).toEqual([0, 3]);
});

test('a lot that moves into the house comes whole', async () => {
  const nursery = new Closing();
  const { west } = street(nursery);
  gives(nursery, [EAST]);
  const phone = await openTab(nursery, SCOUT);
  await phone.syncs();
  stands(nursery, WEST_LOT, EAST_BED, 1);
  nursery.hears('void', { names: west[1]?.id, records: [`pot:${west[1]?.id}`], why: 'mistake' }, { lot: WEST_LOT });
  await phone.syncs();
  expect([await pots(phone, WEST_LOT), (await goneOf(phone)).size]).toEqual([3, 0]);
  expect((await phone.record(`pot:${west[1]?.id}`))?.pot?.voided?.why).toBe('mistake');
  expect((await phone.record(`pot:${west[2]?.id}`))?.pot?.now.buds).toBe(10);
  await equalAgain(nursery, phone);
});

test('when the list shrinks, what is a month old and backed up goes, and what is newer stays', async () => {
  const nursery = new Closing();
  street(nursery);
  const phone = await shrunk(nursery);
  expect(await pots(phone, WEST_LOT)).toBe(3);
  monthPasses(nursery);
  walks(nursery, WEST_LOT, WEST_BED, 3, 2);
  await phone.syncs();
  expect([await pots(phone, EAST_LOT), await pots(phone, WEST_LOT)]).toEqual([3, 2]);
  expect(await goneOf(phone)).toEqual(new Map([[WEST_LOT, 3]]));
  await equalAgain(nursery, phone);
  // It goes on letting go as the notes grow old.
  monthPasses(nursery);
  await phone.syncs();
  expect(await goneOf(phone)).toEqual(new Map([[WEST_LOT, 5]]));
  await opens(WEST);
  await phone.syncs();
  expect([await pots(phone, WEST_LOT), (await goneOf(phone)).size]).toEqual([5, 0]);
  await equalAgain(nursery, phone);
});

test.each([
  [
    'a lot of the walk stands in the house',
    (nursery: Closing) => {
      nursery.hears('observation', { walk: idOf(3, 2), bed: WEST_BED, lot: EAST_LOT, buds: 3 }, { lot: EAST_LOT });
    },
  ],
  [
    'the lot once stood in the house, and nobody has said that it left',
    (nursery: Closing) => {
      stands(nursery, WEST_LOT, EAST_BED, 1);
    },
  ],
  [
    'somebody says that the bed is in the house',
    (nursery: Closing) => {
      nursery.hears('bed', { of: WEST_BED, house: EAST, saw: [] }, { bed: WEST_BED });
    },
  ],
  [
    'somebody gives Ana all houses',
    (nursery: Closing) => {
      nursery.hears('person', { of: ANA, houses: [], saw: [] });
    },
  ],
  ['the device is a desk', (nursery: Closing) => void nursery.desks.add(SCOUT)],
  ['the server is an older one', (nursery: Closing) => void (nursery.isOld = true)],
])('nothing of another house is let go while %s', async (_, but) => {
  const nursery = new Closing();
  street(nursery);
  const phone = await shrunk(nursery);
  but(nursery);
  await phone.syncs();
  monthPasses(nursery);
  const again = await openTab(nursery, SCOUT, { disk: phone.disk });
  nursery.hears('note', { words: 'a new day' });
  await again.syncs();
  expect(await pots(again, WEST_LOT)).toBe(3);
});

test('what arrived a week ago stays, however old it says it is, since older backups may not have it', async () => {
  const nursery = new Closing();
  street(nursery);
  const phone = await shrunk(nursery);
  nursery.minutesPass(40 * 24 * 60);
  // Out of range for forty days: its stamp says when it was written, its place when it came.
  const made = nursery.now() - 39 * 24 * 60 * 60_000;
  const entry = {
    ...(nursery.journal[0]?.entry as Entry),
    id: idOf(0xf, 1),
    seq: 901,
    kind: 'note',
    lot: WEST_LOT,
    body: { words: 'late' },
  };
  nursery.hears('note', { words: 'before it' });
  nursery.merge({ at: made, quality: 'exact', from: made, to: made }, entry as unknown as Entry);
  nursery.backsUp();
  nursery.minutesPass(7 * 24 * 60);
  nursery.hears('note', { words: 'after it' });
  await phone.syncs();
  const rows = await (await phone.base.base()).getAllFromIndex('entries', 'lot', WEST_LOT);
  expect(rows.map(({ entry: { kind } }) => kind)).toContain('note');
  expect(await goneOf(phone)).toEqual(new Map([[WEST_LOT, 3]]));
});

test('what the phone itself has not sent stays with the pot that it is about', async () => {
  const nursery = new Closing();
  const { west } = street(nursery);
  const phone = await shrunk(nursery);
  monthPasses(nursery);
  nursery.trouble = 'quarantine_full';
  const now = { walk: idOf(3, 2), bed: WEST_BED, lot: WEST_LOT, buds: 50 };
  await phone.write.note('correction', { pot: west[0]?.id ?? '', replaces: west[0]?.id ?? '', now }, { lot: WEST_LOT });
  nursery.trouble = 'none';
  nursery.full = false;
  await phone.syncs();
  await phone.syncs();
  expect((await phone.record(`pot:${west[0]?.id}`))?.pot?.now.buds).toBe(50);
  expect(await pots(phone, WEST_LOT)).toBe(3);
});

test('whatever moves, whichever houses are given and opened, sums and records are those of a phone that keeps everything', async () => {
  let [went, opened] = [0, 0];
  for (let seed = 1; seed <= 4; seed++) {
    const roll = rolls(seed);
    const nursery = new Closing();
    nursery.desks.add(DESK);
    street(nursery);
    if (roll(2) === 0) gives(nursery, [EAST]);
    const desk = await openTab(nursery, DESK, { person: 'c'.repeat(32) });
    let scout = await openTab(nursery, SCOUT);
    const seen: { id: string; lot: string; walk: string }[] = [];
    const lots = [...beds.keys()];
    for (let day = 0; day < 10; day++) {
      for (let notes = roll(6); notes > 0; notes--) anything(nursery, roll, lots, seen, day);
      if (roll(3) === 0) gives(nursery, [[EAST], [WEST], [], [EAST, WEST]][roll(4)] ?? []);
      if (roll(3) > 0) nursery.backsUp();
      nursery.minutesPass(roll(2) * 40 * 24 * 60 + 61);
      if (roll(3) === 0) scout = await openTab(nursery, SCOUT, { disk: scout.disk });
      for (const phone of [scout, desk]) {
        await phone.syncs();
        expect(nursery.digests.at(-1)?.equal, `seed ${seed}, day ${day}`).toBe(true);
      }
      await expectAnswersFor(scout, desk, `seed ${seed}, day ${day}`);
      for (const count of (await goneOf(scout)).values()) went += count;
      if (roll(3) === 0) {
        const house = [EAST, WEST][roll(2)] ?? '';
        opened += (await goneOf(scout)).size;
        const { keepHouse } = await import('./openHouse');
        await keepHouse(house, roll(3) > 0);
      }
    }
  }
  expect(
    [went, opened].every((n) => n > 0),
    `let go ${went}, opened ${opened}: days on which nothing goes show nothing`,
  ).toBe(true);
});

function anything(
  nursery: Closing,
  roll: (below: number) => number,
  lots: readonly string[],
  seen: { id: string; lot: string; walk: string }[],
  day: number,
): void {
  const lot = lots[roll(lots.length)] ?? '';
  const bed = beds.get(lot) ?? '';
  const pot = seen[roll(seen.length)];
  const kind = roll(9);
  if (kind < 3) {
    const walk = idOf(6, roll(4));
    const buds = roll(50);
    seen.push({ id: nursery.hears('observation', { walk, bed, lot, buds }, { lot, bed }).id, lot, walk });
  } else if (kind === 3 && pot) {
    const now = { walk: pot.walk, bed, lot: pot.lot, buds: roll(50) };
    nursery.hears('correction', { pot: pot.id, replaces: pot.id, now }, { lot: pot.lot });
  } else if (kind === 4 && pot)
    nursery.hears('void', { names: pot.id, records: [`pot:${pot.id}`], why: 'mistake' }, { lot: pot.lot });
  else if (kind === 5) nursery.hears('event', { lot, what: 'pinch' }, { lot });
  else if (kind === 6 && roll(3) === 0) stands(nursery, lot, roll(2) ? EAST_BED : WEST_BED, 10 + day);
  else nursery.hears('note', { words: 'words' }, { lot });
}
