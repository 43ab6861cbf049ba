/** The supervisor's page of phones: a phone is lost, and what comes of its notes. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { BedsView, BedView, PhonesView } from '../../schema/types.ts';
import type { Device, Nursery } from './harness.ts';
import { shows, viewOf } from './pages.ts';
import { choosesLanguage, turnsTo } from './states.ts';
import { BED_1, HOUSE, LOT_1, openSmallNursery, push, type Line } from './small.ts';
import { hasEverything, kept, notesPot, seesBeds, startsWalk, until } from './walking.ts';

let nursery: Nursery;
let desk: Device;
let phone: Device;
let bed = '';

beforeAll(async () => {
  nursery = await openSmallNursery();
  desk = await nursery.desk('supervisor');
  phone = await nursery.phoneInRange('scout');
  await seesBeds(phone);
  await phone.page.locator('.lines li:not(.shut) a').first().tap();
  await phone.page.waitForURL(/\/bed\/[0-9a-f]{32}$/);
  // Asked here: the list is put in order while its beds arrive, and what was first may not be what was tapped.
  bed = new URL(phone.page.url()).pathname.split('/').at(-1) ?? '';
  await startsWalk(phone);
  await notesPot(phone, { head: '30', buds: '42' });
  await hasEverything(phone);
});

afterAll(async () => nursery.close());

const waiting = () => desk.page.locator('ul.held > li');
const pots = async () => (await viewOf<BedView>(desk, `beds/${bed}`)).pots.length;

async function pictures(name: string): Promise<void> {
  await desk.picture(`${name}-desk`);
  await desk.page.setViewportSize({ width: 390, height: 844 });
  await desk.picture(`${name}-phone`);
  await desk.page.setViewportSize({ width: 1440, height: 900 });
}

test('a phone that is lost is revoked, after a question', async () => {
  await shows(desk, '/phones');
  const { device } = await kept(phone);
  await desk.taps(/^Revoke .*\(Scout\)/);
  await desk.sees(/anything it sends later/);
  await desk.taps('Revoke it');
  await desk.page.locator('.device.gone').waitFor();
  await pictures('phones-revoked');
  expect(
    (await viewOf<PhonesView>(desk, 'phones')).phones.find((each) => each.device === device)?.revoked,
  ).toBeGreaterThan(0);
});

test('what it notes later waits for the supervisor, and is in no record', async () => {
  await notesPot(phone, { head: '31', buds: '40' });
  await notesPot(phone, { head: '28', buds: '36' });
  await until(phone, (now) => now.waiting === 0);
  await shows(desk, '/phones');
  await expect.poll(() => waiting().count()).toBe(2);
  // What it says stands there in words, not only as it was written.
  await desk.page
    .locator('ul.held > li > p')
    .filter({ hasText: /buds: 36/i })
    .waitFor();
  await desk.sees('It came from a revoked device.');
  expect(await pots()).toBe(1);
  await pictures('phones-review');
  expect(await desk.accessibilityFaults()).toEqual([]);
});

test('meanwhile the phone says why it waits, in the language of whoever holds it', async () => {
  await choosesLanguage(phone, 'es');
  await turnsTo(phone, '/notes');
  await phone.sees('A este teléfono se le quitó el acceso. La nota queda guardada hasta que el encargado la revise.');
  await phone.picture('scout-notes-review-es');
  expect(await phone.accessibilityFaults()).toEqual([]);
  await choosesLanguage(phone, 'en');
  await turnsTo(phone, '/notes');
  await phone.sees('This phone’s access was revoked.');
});

test('one of the notes is merged and one left out, each with one tap', async () => {
  await desk.taps('Merge');
  await expect.poll(() => waiting().count()).toBe(1);
  await expect.poll(pots).toBe(2);
  await desk.taps('Reject');
  await expect.poll(() => waiting().count()).toBe(0);
  await desk.sees('None. Every note that arrived is merged.');
  expect(await pots()).toBe(2);
});

test('the phone of whoever wrote it says that the note was left out, and what to do', async () => {
  await turnsTo(phone, '/notes');
  await phone.taps('Send now');
  await phone.sees('rejected by the supervisor');
  await phone.sees(/It is not in the records\./);
  await phone.picture('scout-notes-left-out');
  expect((await kept(phone)).waiting).toBe(0);
});

test('what a scout may not write waits for the supervisor too, who lets it in', async () => {
  const [house, words] = await push(nursery.server, 'scout', [
    ['house', { of: HOUSE, name: 'Renamed' }],
    ['note', { words: 'a note beside it' }],
  ]);
  expect([house?.state, words?.state]).toEqual(['quarantined', 'merged']);
  await shows(desk, '/phones');
  await desk.sees('Only a supervisor or the owner can write this.');
  await pictures('phones-not-theirs');
  expect(await desk.accessibilityFaults()).toEqual([]);
  await desk.taps('Merge');
  await desk.sees('None. Every note that arrived is merged.');
  await expect
    .poll(async () => (await viewOf<BedsView>(desk, 'beds')).houses.map(({ name }) => name))
    .toEqual(['Renamed']);
});

test('a note that cannot be right says which value is wrong, in either language', async () => {
  const pot = { walk: '7'.repeat(32), bed: BED_1, lot: LOT_1 };
  const at = { bed: BED_1, lot: LOT_1 };
  const unsound: Line[] = [
    ['observation', { ...pot, head_a_mm: 4000, buds: 10, buds_open: 11 }, at],
    ['count', { lot: LOT_1, change: 3, reason: 'lost_root' }, { lot: LOT_1 }],
  ];
  expect((await push(nursery.server, 'scout', unsound)).map(({ state }) => state)).toEqual([
    'quarantined',
    'quarantined',
  ]);
  await shows(desk, '/phones');
  await desk.sees('Head, first diameter: 4,000 mm is outside 5 to 2,000 mm.');
  await choosesLanguage(desk, 'es');
  await turnsTo(desk, '/phones');
  await desk.sees('Copa, primer diámetro: 4,000 mm está fuera de lo que se admite, de 5 a 2,000 mm.');
  await desk.sees('Botones: los estados suman 11, más que los 10 contados.');
  await desk.sees('Cuántas macetas: 3 suma macetas, pero el motivo «pudrición de raíz» las quita.');
  await pictures('phones-held-es');
  expect(await desk.accessibilityFaults()).toEqual([]);
});
