/** A scout who walks one of two houses: the supervisor says which, the phone keeps its notes, and the other is opened in range. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Device, Nursery } from './harness.ts';
import { openSmallNursery, type Line } from './small.ts';
import { choosesLanguage, turnsTo } from './states.ts';
import { hasEverything, seesBeds } from './walking.ts';

const id = (digits: string) => digits.repeat(32 / digits.length);
const [WREN, WREN_BED, WREN_LOT, WALK] = [id('7a'), id('7b'), id('7d'), id('7e')];

/** A second house with a bed, a lot on it, and a walk of eight pots of last week. */
function otherHouse(): Line[] {
  const [span, where] = [id('7f'), { bed: WREN_BED }];
  const pots = [40, 42, 39, 44, 41, 43, 40, 42];
  return [
    ['house', { of: WREN, name: 'Wren', length_mm: 40_000, width_mm: 12_000, order: 2 }],
    [
      'bed',
      { of: WREN_BED, house: WREN, name: 'W1', length_mm: 20_000, width_mm: 1_500, rows: 60, across: 10, order: 1 },
    ],
    ['lot', { of: WREN_LOT, tag: 'AZ-107', crop: 'azalea', cultivar: 'Dusk Ferry', pot_mm: 150 }],
    ['span', { of: span, lot: WREN_LOT, bed: WREN_BED, from_row: 1, to_row: 60 }, { lot: WREN_LOT, ...where }],
    ['count', { lot: WREN_LOT, span, change: 600, reason: 'potted' }, { lot: WREN_LOT }],
    ['walk', { walk: WALK, ...where, seed: 7, planned: pots.length }, where],
    ...pots.map((buds, i): Line => {
      const place = { row: 1 + 5 * i, across: 1 + (i % 10) };
      const pot = { walk: WALK, ...where, lot: WREN_LOT, place, planned: true, head_a_mm: 300, buds };
      return ['observation', pot, { ...where, lot: WREN_LOT }];
    }),
    ['walk_end', { walk: WALK, ...where, why: 'planned' }, where],
  ];
}

let nursery: Nursery;
/** A phone that read everything before the supervisor gave its scout the first house, and one that was paired after. */
let first: Device;
let phone: Device;

beforeAll(async () => {
  nursery = await openSmallNursery(otherHouse());
  // Who is paired as the scout is known from the first phone on.
  first = await nursery.phone('scout');
  await hasEverything(first);
  await givesHeron();
  phone = await nursery.phoneInRange('scout');
  await seesBeds(phone);
  await hasEverything(phone);
});
afterAll(() => nursery.close());

/** The supervisor gives the scout the first house. */
async function givesHeron(): Promise<void> {
  const desk = await nursery.desk('supervisor');
  await hasEverything(desk);
  await desk.opens('/scouts');
  await desk.sees('Houses of each scout');
  await desk.page.getByRole('checkbox', { name: 'Heron' }).check();
  await desk.sees('Only the houses ticked.');
  expect(await desk.accessibilityFaults()).toEqual([]);
  await desk.picture('scouts-houses');
  await desk.taps(/^Save for /);
  await desk.sees(/^Houses saved for /);
  await hasEverything(desk);
}

/** How many pots of the other house's walk are on the phone. */
async function pots(phone: Device): Promise<number> {
  return phone.page.evaluate(async (walk) => {
    const open = await new Promise<IDBDatabase>((done, fail) => {
      const asked = indexedDB.open('bedwalk');
      asked.addEventListener('success', () => done(asked.result));
      asked.addEventListener('error', () => fail(new Error('the database does not open')));
    });
    const counted = open.transaction('records').objectStore('records').index('walk').count(walk);
    return new Promise<number>((done) => {
      counted.addEventListener('success', () => {
        open.close();
        done(counted.result);
      });
    });
  }, WALK);
}

test('in Spanish a phone lists the beds of its house and names the others', async () => {
  await choosesLanguage(phone, 'es');
  await turnsTo(phone, '/');
  await phone.sees('1 cama, no se guarda en este teléfono');
  await phone.picture('today-other-houses-es');
  await turnsTo(phone, `/lot/${WREN_LOT}`);
  await phone.sees(/Wren no es una de sus naves\.$/);
  await phone.picture('lot-other-house-es');
  await phone.goesOutOfRange();
  await turnsTo(phone, '/');
  await phone.sees('Sin señal. Para abrirla, vaya a donde haya señal.');
  await phone.picture('today-other-houses-out-of-range-es');
  await phone.comesIntoRange();
});

test('it does in English too, and opens one of the others in range', async () => {
  await choosesLanguage(phone, 'en');
  await turnsTo(phone, '/');
  await phone.sees('1 bed, not kept on this phone');
  expect(await phone.page.locator('.lines a').allTextContents()).toHaveLength(2);
  expect(await pots(phone)).toBe(0);
  expect(await phone.accessibilityFaults()).toEqual([]);
  await phone.picture('today-other-houses');

  // The tag of a pot there leads to its lot, which says what is not here.
  await turnsTo(phone, `/lot/${WREN_LOT}`);
  await phone.sees(/^Not all notes of this lot are kept on this phone, because Wren is not one of your houses\./);
  await phone.page.getByRole('button', { name: 'Open this house' }).waitFor();
  expect(await phone.accessibilityFaults()).toEqual([]);
  await phone.picture('lot-other-house');
  await turnsTo(phone, `/bed/${WREN_BED}`);
  await phone.sees(/^Earlier walks of this bed are not kept on this phone, because Wren is not one of your houses\./);
  expect(await phone.page.getByText('This bed has not been walked yet.').count()).toBe(0);
  await phone.picture('bed-other-house');

  await phone.goesOutOfRange();
  await turnsTo(phone, '/');
  await phone.sees('Out of range. To open it, go where there is a signal.');
  expect(await phone.page.getByRole('button', { name: 'Open this house' }).count()).toBe(0);
  await phone.picture('today-other-houses-out-of-range');
  await phone.comesIntoRange();

  await phone.taps('Open this house');
  await phone.sees('Open on this phone');
  await phone.page.locator('.lines a', { hasText: 'Wren, W1' }).waitFor();
  await expect.poll(() => pots(phone)).toBe(8);
  await hasEverything(phone);
  await phone.picture('today-other-house-open');
  await phone.taps('Close this house');
  await phone.page.locator('.lines a', { hasText: 'Wren, W1' }).waitFor({ state: 'detached' });
  await phone.sees('1 bed; the notes are still on this phone');

  // The first phone read everything before: nothing of the house has left it, so it opens out of range too.
  await hasEverything(first);
  await first.sees('1 bed; the notes are still on this phone');
  expect(await pots(first)).toBe(8);
  await first.goesOutOfRange();
  await first.taps('Open this house');
  await first.page.locator('.lines a', { hasText: 'Wren, W1' }).waitFor();
});
