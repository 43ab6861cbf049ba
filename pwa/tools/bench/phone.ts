/**
 * The phone's figures: the real app in Chromium at a quarter of its speed, with the demo nursery's season on the phone.
 * Chromium slows the screen's thread alone; the sync worker and the server run at this machine's full speed.
 */
import { openNursery, type Device, type Nursery } from '../../e2e/harness.ts';
import { tapsPot, opensBed, seesBeds, startsWalk, until, walkOf } from '../../e2e/walking.ts';
import { pulledAfter } from './browser.ts';
import { figure } from './notes.mjs';
import { startWatching, type Watched } from './watch.ts';

/** About a cheap phone beside a desk machine; Lighthouse takes the same for its mobile profile. */
export const SLOWER = 4;
const POTS = 15;
const STARTS = 5;
const heads = ['31', '30', '29', '32', '28'];
const buds = ['42', '44', '41', '45', '40'];

/** Everything in one nursery, in the order of a scout's first day. */
export async function measurePhone(): Promise<void> {
  const nursery = await openNursery({ demo: true });
  try {
    const phone = await pairsSlowly(nursery);
    await phone.isReadyForTheField();
    await phone.goesOutOfRange();
    await phone.isSwitchedOffAndOn();
    await seesBeds(phone);
    const bed = (await phone.page.locator('.lines a b').first().textContent()) ?? '';
    await opensBed(phone, bed);
    await startsWalk(phone);
    const walk = walkOf(phone);
    await walks(phone, 'full speed');
    const session = await phone.isSlow(SLOWER);
    await walks(phone, 'slow');
    await session.send('HeapProfiler.collectGarbage');
    const { usedSize } = await session.send('Runtime.getHeapUsage');
    figure('heap', 'MB', usedSize / 1e6);
    for (let i = 0; i < STARTS; i++) await startsCold(phone, '/', 'today');
    for (let i = 0; i < STARTS; i++) await startsCold(phone, `/walk/${walk}`, 'walk');
    figure('slow-down', 'times', await slowDown(phone));
  } finally {
    await nursery.close();
  }
}

/** Pairs a phone that is slow from its first moment, and waits until it has the whole journal. */
export async function pairsSlowly(nursery: Nursery): Promise<Device> {
  const phone = await nursery.strangePhone();
  await phone.page.context().addInitScript(startWatching);
  await phone.isSlow(SLOWER);
  await phone.pairs(await nursery.server.pairingLink('scout'));
  figure('first pull', 's', (await pulledAfter(nursery, phone, 1)) / 1000);
  const now = await until(phone, ({ agreedTo, position, head }) => position === head && agreedTo === position, 120_000);
  figure('notes', 'notes', now.head);
  figure('longest task first pull', 'ms', (await watched(phone)).longest);
  return phone;
}

/** Notes whole pots, and prints what each saving tap took, the taps a pot and the longest task. */
export async function walks(phone: Device, speed: string): Promise<void> {
  await phone.page.evaluate(() => {
    const { watched } = globalThis as unknown as { watched: Watched };
    Object.assign(watched, { longest: 0, taps: [], pots: [] } satisfies Watched);
  });
  for (let i = 0; i < POTS; i++) {
    const pot = { head: heads[i % heads.length] ?? '', buds: buds[i % buds.length] ?? '' };
    figure('taps for a full pot', 'taps', await tapsPot(phone, pot));
  }
  const { taps, pots, longest } = await watched(phone);
  for (const ms of [...taps, ...pots]) figure(`tap to saved ${speed}`, 'ms', ms);
  for (const ms of pots) figure(`pot to saved ${speed}`, 'ms', ms);
  figure(`longest task walk ${speed}`, 'ms', longest);
}

/** The phone has ended the app and its worker; the scout opens it again, out of range. */
export async function startsCold(phone: Device, path: string, wanted: 'today' | 'walk'): Promise<void> {
  const before = await phone.page.context().newCDPSession(phone.page);
  await before.send('ServiceWorker.enable');
  await before.send('ServiceWorker.stopAllWorkers');
  await phone.isSwitchedOffAndOn('about:blank');
  await phone.isSlow(SLOWER);
  await phone.opens(path);
  await phone.page
    .locator(wanted === 'today' ? '.lines a' : '.pad button')
    .first()
    .waitFor();
  const now = await watched(phone);
  const [content] = await phone.page.evaluate(() =>
    performance.getEntriesByName('first-contentful-paint').map(({ startTime }) => startTime),
  );
  if (content === undefined) throw new Error('Chromium does not say when it drew the first content');
  figure('cold start content', 'ms', content);
  figure(`cold start ${wanted}`, 'ms', now[wanted] ?? Number.NaN);
  figure('longest task start', 'ms', now.longest);
}

/** How much slower the page now open really is: that the brake was on is seen, not believed. */
async function slowDown(phone: Device): Promise<number> {
  const compute = () =>
    phone.page.evaluate(() => {
      const began = performance.now();
      let sum = 0;
      for (let i = 0; i < 50_000_000; i++) sum = (sum + i * i) % 1_000_003;
      return sum < 0 ? 0 : performance.now() - began;
    });
  const slow = await compute();
  await phone.isSlow(1);
  return slow / (await compute());
}

/** What the page has seen, a moment later: Chromium tells of long tasks only when it has time. */
export async function watched(phone: Device): Promise<Watched> {
  await phone.page.waitForTimeout(500);
  return phone.page.evaluate(() => (globalThis as unknown as { watched: Watched }).watched);
}
