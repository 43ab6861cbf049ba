/**
 * What goes wrong with browsers, phones and networks, and what must not come of it. One test for each, as a grower says it. It
 * all happens to one phone on one walk, and after each fault it must be able to go on.
 */
import { afterAll, beforeAll, beforeEach, expect, test } from 'vitest';
import type { BedView } from '../../schema/types.ts';
import { Caller } from './caller.ts';
import type { Device, Nursery } from './harness.ts';
import { BED_1, openSmallNursery } from './small.ts';
import { turnsTo } from './states.ts';
import { hasEverything, kept, notesPot, potsNoted, seesBeds, until } from './walking.ts';

let nursery: Nursery;
let office: Caller;
let phone: Device;

beforeAll(async () => {
  nursery = await openSmallNursery();
  office = await Caller.pairs(nursery, 'supervisor');
  phone = await nursery.phone('scout');
});
beforeEach(async () => {
  await phone.opens('/');
  await phone.isReadyForTheField();
  await entersTheBed();
});
afterAll(() => nursery.close());

/** Opens the first bed from Today, and begins its walk or continues it. */
async function entersTheBed(): Promise<void> {
  await seesBeds(phone);
  await phone.page.locator('.lines li:not(.shut) a').first().tap();
  await phone.taps(/^(Start walk|Continue the walk)/);
  await phone.page.locator('.pad').waitFor();
}

const pot = { head: '30', buds: '42' };

test('two tabs: what is noted in one is seen in the other at once, and both feed one queue', async () => {
  await hasEverything(phone);
  await phone.goesOutOfRange();
  const noted = await potsNoted(phone);
  const other = await phone.page.context().newPage();
  await other.goto(phone.page.url());
  await other.locator('.pad').waitFor();
  await notesPot(phone, pot);
  await other.getByText(new RegExp(`^pot ${noted + 2} of about`)).waitFor();
  await other.locator('.traits').waitFor();
  await until(phone, (now) => now.waiting === 1);
  await other.close();
  await phone.comesIntoRange();
  await until(phone, (now) => now.waiting === 0, 60_000);
});

test('the app is killed between a tap and its saving: the pots before are whole, and the next note fits on', async () => {
  const noted = await potsNoted(phone);
  await phone.goesOutOfRange();
  await notesPot(phone, pot);
  const address = phone.page.url();
  for (const digit of ['2', '9', '4']) {
    await phone.page.getByRole('button', { name: digit, exact: true }).first().dispatchEvent('click');
  }
  await phone.isSwitchedOffAndOn(new URL(address).pathname);
  await phone.page.locator('.traits').waitFor();
  expect(await potsNoted(phone)).toBe(noted + 1);
  await phone.taps('More');
  await phone.taps('Save the pot as is');
  await phone.taps('More');
  await phone.taps('Disease, height, comment');
  await phone.taps('disease suspected');
  await phone.taps('Done');
  await phone.taps('More');
  await phone.taps('Save the pot as is');
  await phone.comesIntoRange();
  await until(phone, (now) => now.waiting === 0, 60_000);
});

test('the server is killed while notes are on their way, and comes back: each note is there once', async () => {
  await hasEverything(phone);
  await phone.goesOutOfRange();
  for (let i = 0; i < 3; i++) await notesPot(phone, pot);
  const before = await until(phone, (now) => now.waiting === 3);
  const sent = phone.page.context().waitForEvent('request', (request) => request.url().endsWith('/api/push'));
  await phone.comesIntoRange();
  await sent;
  await nursery.server.dies();
  await nursery.server.comesBack();
  const after = await until(phone, (now) => now.waiting === 0 && now.agreedTo > before.agreedTo, 60_000);
  expect(after.agreedTo).toBe(before.position + before.waiting);
});

test('a portal page answers in place of the server: nothing counts as delivered, and the phone says what to do', async () => {
  const portal = { contentType: 'text/html', body: '<html><title>Welcome</title>Sign in</html>' };
  await phone.page.context().route('**/api/**', (route) => route.fulfill(portal));
  await notesPot(phone, pot);
  await until(phone, (now) => now.waiting > 0);
  await turnsTo(phone, '/notes');
  await phone.sees(/The network may want you to sign in/);
  expect((await kept(phone)).waiting).toBeGreaterThan(0);
  await phone.page.context().unroute('**/api/**');
  // No tap: the queue is tried again by itself.
  await until(phone, (now) => now.waiting === 0, 60_000);
});

/** Half a minute is a second for the phone's way to the server, until the page is opened again. */
async function isShortOfPatience(phone: Device): Promise<void> {
  for (const worker of phone.page.workers()) {
    await worker.evaluate(() => {
      const wait = AbortSignal.timeout.bind(AbortSignal);
      AbortSignal.timeout = (ms) => wait(ms / 30);
    });
  }
}

test('the server takes a note and answers later than the phone waits: the phone says so quietly, and the next try is no second note', async () => {
  const context = phone.page.context();
  const before = await hasEverything(phone);
  const pots = async () => (await office.view<BedView>(`beds/${BED_1}`)).pots.length;
  const noted = await pots();
  await phone.goesOutOfRange();
  await notesPot(phone, pot);
  await turnsTo(phone, '/notes');
  await phone.sees(/^1 note to send/);
  await isShortOfPatience(phone);
  // The words stand there until the next try, which may come before the test looks.
  await phone.page.evaluate(() => {
    const look = () => {
      const line = document.querySelector('.state p.quiet')?.textContent ?? '';
      if (line.startsWith('The server is slow.')) document.body.dataset['said'] = line;
    };
    new MutationObserver(look).observe(document.body, { subtree: true, childList: true, characterData: true });
  });
  let pushes = 0;
  let gaveUp = 0;
  await context.route('**/api/push', async (route) => {
    if (++pushes > 1) return route.continue();
    // As slow as it takes: the answer comes when nobody waits for it any more, which may be before the server has it.
    const failed = context.waitForEvent('requestfailed', (request) => request === route.request());
    await route.fetch();
    await failed;
    gaveUp++;
    return route.abort().catch(() => undefined);
  });
  await phone.comesIntoRange();
  await phone.page.waitForFunction(() => document.body.dataset['said'] !== undefined);
  // The page says so before the test hears of the request.
  await expect.poll(() => gaveUp).toBe(1);
  const after = await until(phone, (now) => now.waiting === 0 && now.agreedTo > before.agreedTo);
  expect([pushes, after.position]).toEqual([2, before.position + 1]);
  expect(await pots()).toBe(noted + 1);
});

test("the browser's storage is cleared: the phone takes new numbers, has everything again, and continues", async () => {
  await notesPot(phone, pot);
  const before = await until(phone, (now) => now.waiting === 0, 60_000);
  const session = await phone.page.context().newCDPSession(phone.page);
  await phone.page.goto('about:blank');
  await session.send('Storage.clearDataForOrigin', {
    origin: nursery.server.url,
    storageTypes: 'indexeddb,local_storage,cache_storage,service_workers',
  });
  await phone.opens('/');
  await seesBeds(phone);
  const after = await kept(phone);
  expect(after.device).toBe(before.device);
  expect(after.inc).toBeGreaterThan(before.inc);
  await phone.page.locator('.lines li:not(.shut) a').first().tap();
  await phone.taps(/^(Start walk|Continue the walk)$/);
  await phone.page.locator('.pad').waitFor();
  await until(phone, (now) => now.waiting === 0, 60_000);
});

test('the server is set back to an older backup: what it lost comes back from the phone', async () => {
  await notesPot(phone, pot);
  await hasEverything(phone);
  await nursery.server.backsUp();
  await notesPot(phone, pot);
  await notesPot(phone, pot);
  const before = await hasEverything(phone);
  await phone.goesOutOfRange();
  await nursery.server.isSetBackToItsBackup();
  await phone.comesIntoRange();
  const after = await until(
    phone,
    (now) => now.epoch !== before.epoch && now.waiting === 0 && now.agreedTo > 0,
    60_000,
  );
  expect(after.agreedTo).toBeGreaterThanOrEqual(before.agreedTo);
});

const NEWER = 'newer0000001';

/**
 * The phone has another build whole, as its service worker leaves one behind (sw.test.ts has how): the page and a note of which is newest.
 * Chromium looks at the worker's own script whenever it likes, past the test, so that no other one can be put in its place.
 */
async function aNewerBuildHasCome(): Promise<void> {
  await phone.page.evaluate(async (newer) => {
    const build = document.querySelector<HTMLMetaElement>('meta[name=build]')?.content ?? '';
    const page = await (await caches.match('/', { cacheName: `bedwalk-app-${build}` }))?.text();
    const html = new Response(page?.replaceAll(build, newer), { headers: { 'content-type': 'text/html' } });
    await (await caches.open(`bedwalk-app-${newer}`)).put('/', html);
    await (await caches.open('bedwalk-newest')).put('/', new Response(newer));
    document.dispatchEvent(new Event('visibilitychange'));
  }, NEWER);
}

test('an update that comes while the queue is full waits for a safe moment and loses nothing', async () => {
  await phone.page.context().route('**/api/**', (route) => route.abort());
  await notesPot(phone, pot);
  await phone.page.getByRole('button', { name: '3', exact: true }).tap();
  await aNewerBuildHasCome();
  // In the middle of a card nothing is offered, least of all done.
  expect(await phone.page.getByText('A new version is ready.').count()).toBe(0);
  const before = await kept(phone);
  await phone.taps('More');
  await phone.taps('Pause');
  // From the next page on, to which somebody turns once the build is there.
  await expect
    .poll(async () => {
      await turnsTo(phone, '/notes');
      await turnsTo(phone, '/');
      return phone.page.getByText('A new version is ready.').count();
    })
    .toBe(1);
  await Promise.all([phone.page.waitForEvent('load'), phone.taps('Update now')]);
  await seesBeds(phone);
  expect(await phone.page.locator('meta[name=build]').getAttribute('content')).toBe(NEWER);
  expect(await kept(phone)).toMatchObject({ waiting: before.waiting, drafts: 1 });
  await phone.page.context().unrouteAll({ behavior: 'wait' });
  await turnsTo(phone, '/notes');
  await phone.taps('Send now');
  await until(phone, (now) => now.waiting === 0, 60_000);
  // What was half noted is there to be finished.
  await turnsTo(phone, '/');
  await entersTheBed();
  expect(await phone.page.locator('.traits b').first().textContent()).toBe('3');
  await phone.taps('More');
  await phone.taps('Save the pot as is');
  await until(phone, (now) => now.drafts === 0 && now.waiting === 0, 60_000);
});

test('the phone is revoked: its notes are kept, go to the supervisor to look at, and it says so', async () => {
  await until(phone, (now) => now.waiting === 0, 60_000);
  const { device } = await kept(phone);
  await office.revokes(device);
  await notesPot(phone, pot);
  await turnsTo(phone, '/notes');
  await phone.sees(/This phone’s access was revoked|no longer knows this phone/);
  await phone.sees('supervisor will review it');
  await turnsTo(phone, '/');
  await seesBeds(phone);
});
