/** A supervisor goes between the office's pages and the field's on one phone: neither changes how the other looks. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Device, Nursery } from './harness.ts';
import { supervisorPages, shows, turnsTo as turnsToPage } from './pages.ts';
import { BED_1, LOT_1, openSmallNursery, walkOfFirstBed } from './small.ts';
import { turnsTo } from './states.ts';
import { hasEverything, startsWalk, walkOf } from './walking.ts';

let nursery: Nursery;
let phone: Device;

beforeAll(async () => {
  nursery = await openSmallNursery(walkOfFirstBed([{ head_a_mm: 300 }, { head_a_mm: 310 }, { head_a_mm: 290 }]));
  phone = await nursery.phoneInRange('supervisor');
});
afterAll(() => nursery?.close());

/** Where everything on the screen lies, to a tenth of a pixel, and how it is written. */
function looks(): Promise<string[]> {
  return phone.page.evaluate(() =>
    [...document.querySelectorAll('main, main *')].map((each) => {
      const { x, y, width, height } = each.getBoundingClientRect();
      const { borderWidth, borderColor, color, fontSize } = getComputedStyle(each);
      const box = [x, y, width, height].map((length) => length.toFixed(1)).join(' ');
      return `${each.tagName}.${each.getAttribute('class') ?? ''}: ${box}; ${borderWidth} ${borderColor} ${color} ${fontSize}`;
    }),
  );
}

async function tags(): Promise<string[]> {
  await turnsTo(phone, `/tags?lot=${LOT_1}`);
  await phone.page.locator('.printed b').waitFor();
  return looks();
}

async function card(path: string): Promise<string[]> {
  await turnsTo(phone, path);
  await phone.page.locator('.pad').waitFor();
  return looks();
}

async function today(): Promise<string[]> {
  await turnsTo(phone, '/today');
  await phone.page.locator('.in-progress .main').waitFor();
  await phone.page.getByRole('heading', { name: 'Other beds' }).waitFor();
  return looks();
}

test('the scout’s screens and the tag sheets look the same after every page of the desk as before', async () => {
  await phone.opens(`/bed/${BED_1}`);
  await startsWalk(phone);
  const path = `/walk/${walkOf(phone)}`;
  // How many notes wait is written on Today: it must not be another line before than after.
  await hasEverything(phone);
  // A new start: nothing but the first screen has been loaded yet.
  await phone.opens('/today');
  const before = [await today(), await card(path), await tags()];
  await shows(phone, '/beds');
  const pages = await supervisorPages(phone);
  for (const page of [...pages, { path: '/in' }]) await turnsToPage(phone, page.path);
  const after = [await today(), await card(path), await tags()];
  expect(after).toEqual(before);
  expect(before.map((each) => each.length > 20)).toEqual([true, true, true]);
});

const words = {
  en: {
    more: 'More',
    walk: 'Walk',
    beds: 'Beds',
    settings: 'Settings',
    notes: 'Notes',
    today: 'Today',
    start: 'Start walk here',
  },
  es: {
    more: 'Más',
    walk: 'Recorrer',
    beds: 'Camas',
    settings: 'Ajustes',
    notes: 'Notas',
    today: 'Hoy',
    start: 'Empezar aquí un recorrido',
  },
} as const;

test.each(['en', 'es'] as const)(
  'in %s every way between office and field can be gone by taps alone',
  async (language) => {
    const say = words[language];
    await phone.page.evaluate((chosen) => {
      localStorage.setItem('bedwalk-settings', JSON.stringify({ language: chosen }));
    }, language);
    const link = (name: string) => phone.page.getByRole('link', { name, exact: true });
    const goes = async (name: string, path: string | RegExp) => {
      const { width, height } = (await link(name).boundingBox())!;
      expect([name, width >= 48, height >= 48]).toEqual([name, true, true]);
      await link(name).tap();
      await phone.page.waitForURL(path);
      await phone.page.locator('main h1').waitFor();
    };
    const goesToWalk = async () => {
      await phone.page.getByRole('button', { name: say.more, exact: true }).tap();
      await goes(say.walk, '**/today');
    };
    await shows(phone, '/beds');
    await phone.picture(`between-beds-${language}`);
    await goesToWalk();
    await phone.picture(`between-today-${language}`);
    expect(await phone.accessibilityFaults()).toEqual([]);
    for (const there of [say.notes, say.settings, say.today]) {
      await goes(there, /notes|settings|today/);
      await goes(say.beds, '**/beds');
      await goesToWalk();
    }
    await shows(phone, `/beds/${BED_1}`);
    await phone.picture(`between-bed-${language}`);
    expect(await phone.accessibilityFaults()).toEqual([]);
    await goes(say.start, `**/bed/${BED_1}`);
    await phone.page.locator('.entrance .main').waitFor();
  },
);
