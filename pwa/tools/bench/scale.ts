/** What a phone and a desk make of a nursery of some size: the real app in Chromium at a quarter of its speed. */
import { openNursery, type Device, type Nursery } from '../../e2e/harness.ts';
import { opensBed, seesBeds, startsWalk } from '../../e2e/walking.ts';
import { figure } from './notes.mjs';
import { pairsSlowly, SLOWER, startsCold, walks, watched } from './phone.ts';
import { startWatching } from './watch.ts';

/** @param data the folder of the nursery; it goes when all is measured */
export async function measureScale(data: string): Promise<void> {
  const nursery = await openNursery({ data });
  try {
    await desk(nursery);
    const phone = await pairsSlowly(nursery);
    figure('phone: storage', 'MB', (await stored(phone)) / 1e6);
    await phone.isReadyForTheField();
    await phone.goesOutOfRange();
    await startsCold(phone, '/', 'today');
    await seesBeds(phone);
    await opensBed(phone, (await phone.page.locator('.lines a b').first().textContent()) ?? '');
    await startsWalk(phone);
    await walks(phone, 'slow');
  } finally {
    await nursery.close();
  }
}

/** All beds on a page that is slow from its first moment. */
async function desk(nursery: Nursery): Promise<void> {
  const viewer = await nursery.viewer('supervisor', 'desk');
  await viewer.page.context().addInitScript(startWatching);
  await viewer.isSlow(SLOWER);
  await viewer.opens('/beds');
  // Many beds are folded to a line a house.
  await viewer.page.locator('.bedtile, .foldline').first().waitFor();
  figure('desk: first tile', 'ms', await viewer.page.evaluate(() => performance.now()));
  figure('desk: longest task of Beds', 'ms', (await watched(viewer)).longest);
  await viewer.ends();
}

async function stored(phone: Device): Promise<number> {
  return phone.page.evaluate(async () => (await navigator.storage.estimate()).usage ?? 0);
}
