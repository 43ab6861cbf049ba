/** A bed with rot while somebody walks it again: the alarm stays, and the walk under way stands beside it, at a desk and on a phone. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { BedView } from '../../schema/types.ts';
import type { Device, Nursery } from './harness.ts';
import { turnsTo as turnsToPage, viewOf } from './pages.ts';
import { BED_1, openSmallNursery, walkOfFirstBed } from './small.ts';
import { turnsTo } from './states.ts';
import { hasEverything, notesPot, opensBed, seesBeds, startsWalk } from './walking.ts';

let nursery: Nursery;
let phone: Device;
let planned: number;

beforeAll(async () => {
  const roots = Array.from({ length: 12 }, (_, i) => ({
    head_a_mm: 300 + 5 * (i % 4),
    root_cover: 4,
    root_life: i % 3 === 0 ? 1 : 4,
    chlorosis: 'none' as const,
  }));
  nursery = await openSmallNursery(walkOfFirstBed(roots));
  phone = await nursery.phoneInRange('scout');
  await seesBeds(phone);
  await opensBed(phone, 'Heron, H1');
  await startsWalk(phone);
  for (const buds of ['42', '43']) await notesPot(phone, { head: '31', buds });
  await hasEverything(phone);
});
afterAll(() => nursery.close());

test('the desk keeps the alarm and shows the walk beside it', async () => {
  const desk = await nursery.desk('supervisor');
  const { bed } = await viewOf<BedView>(desk, `beds/${BED_1}`);
  planned = bed.under_way?.planned ?? 0;
  expect(planned).toBeGreaterThan(2);
  for (const [width, height] of [
    [1440, 900],
    [390, 844],
  ] as const) {
    await desk.page.setViewportSize({ width, height });
    await turnsToPage(desk, `/beds/${BED_1}`);
    await desk.sees(/Root rot in 4 of 12 pots/);
    await desk.sees(new RegExp(`^Walking: 2 of about ${planned} `));
    await desk.sees('The walk in progress changes nothing here until it ends.');
    await desk.picture(`underway-bed-${width}`);
    await turnsToPage(desk, '/beds?part=plan');
    // On a phone the beds of a house are behind its line.
    if (width < 700) await desk.page.locator('.foldline').first().click();
    await desk.page.getByText(`walking, 2 of about ${planned}`).filter({ visible: true }).first().waitFor();
    await desk.picture(`underway-beds-${width}`);
  }
});

test('a phone does, too', async () => {
  await turnsTo(phone, `/bed/${BED_1}`);
  await phone.page.locator('.underway').waitFor();
  await phone.sees(new RegExp(`^Walking: 2 of about ${planned} `));
  // By the phone's own number, and once the server's sentence about it is here, in that alone.
  await phone.sees(/4 of 12 pots/);
  await phone.picture('underway-bed-phone');
});
