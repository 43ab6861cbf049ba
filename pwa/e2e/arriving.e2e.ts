/** A device that was paired a moment ago: nothing is shown as known while the records are still to come. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Device, Nursery } from './harness.ts';
import { BED_1, openSmallNursery, walkOfFirstBed } from './small.ts';
import { turnsTo } from './states.ts';
import { hasEverything } from './walking.ts';

let nursery: Nursery;

beforeAll(async () => {
  nursery = await openSmallNursery(walkOfFirstBed([{ head_a_mm: 300 }, { head_a_mm: 310 }, { head_a_mm: 290 }]));
});
afterAll(() => nursery?.close());

async function getsThrough(device: Device): Promise<void> {
  await device.page.context().unroute('**/api/pull?*');
  await device.opens('/today');
  await hasEverything(device);
}

test('a phone says how far it is and what to read at the house, and calls no bed due or never walked', async () => {
  const phone = await nursery.viewer('supervisor', 'phone');
  await turnsTo(phone, '/today');
  for (const [language, share] of [
    ['en', 'Getting the records: 0'],
    ['es', 'Trayendo los registros: 0'],
  ] as const) {
    await phone.page.evaluate((chosen) => {
      localStorage.setItem('bedwalk-settings', JSON.stringify({ language: chosen }));
    }, language);
    await phone.opens('/today');
    await phone.sees(share);
    expect(await phone.page.locator('main h2').allTextContents()).toEqual([]);
    expect(await phone.page.locator('.arriving .attention').count()).toBe(1);
    expect(await phone.accessibilityFaults()).toEqual([]);
    await phone.picture(`arriving-today-${language}`);
  }
  await phone.page.evaluate(() => localStorage.setItem('bedwalk-settings', JSON.stringify({ language: 'en' })));
  await getsThrough(phone);
  await phone.sees(/^Due for a walk/);
  expect(await phone.page.getByText('Getting the records').count()).toBe(0);
  await turnsTo(phone, `/bed/${BED_1}`);
  await phone.page.locator('.entrance .main').waitFor();
  expect(await phone.page.locator('.entrance .attention').count()).toBe(0);
});

test('at a desk no crop is shown without its lots, and no sheet is read against half a nursery', async () => {
  const desk = await nursery.viewer('supervisor', 'desk');
  for (const path of ['/crops', '/crops/azalea', '/in']) {
    await desk.opens(path);
    await desk.sees('Getting the records: 0');
    expect(await desk.page.getByText(/\b0 (lots|pots)/).count()).toBe(0);
    expect(await desk.accessibilityFaults()).toEqual([]);
    await desk.picture(`arriving-desk${path.replaceAll('/', '-')}`);
  }
  await getsThrough(desk);
  await desk.opens('/crops');
  await desk.page.locator('.cropcard').first().waitFor();
});
