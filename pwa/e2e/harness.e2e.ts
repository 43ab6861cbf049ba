/** The harness judges everything else, so it is judged first: out of range must be out of range, dead must be dead. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { openNursery, type Device, type Nursery } from './harness.ts';
import { contrastFaults } from './rendered.ts';
import { pairingLinks } from './server.ts';
import { kept } from './walking.ts';

let nursery: Nursery;
let scout: Device;

const reaches = (device: Device) =>
  device.page.evaluate(() =>
    fetch('/build.json', { cache: 'no-store' }).then(
      (answer) => answer.ok,
      () => false,
    ),
  );

beforeAll(async () => {
  nursery = await openNursery();
  scout = await nursery.phone('scout');
});
afterAll(() => nursery?.close());

test('a pairing link is found among whatever else the server prints', () => {
  const links = pairingLinks(
    'Bedwalk is at http://localhost:1\npair scout: http://localhost:1/pair#A\npair supervisor: x\n',
  );
  expect([...links]).toEqual([
    ['scout', 'http://localhost:1/pair#A'],
    ['supervisor', 'x'],
  ]);
});

test('a phone is in a secure context, touched and upright', async () => {
  const facts = await scout.page.evaluate(() => [
    isSecureContext,
    navigator.maxTouchPoints > 0,
    innerWidth,
    innerHeight,
  ]);
  expect(facts).toEqual([true, true, 390, 844]);
});

test('out of range nothing reaches the server, and the app still starts', async () => {
  await scout.isReadyForTheField();
  expect(await reaches(scout)).toBe(true);
  await scout.goesOutOfRange();
  expect(await reaches(scout)).toBe(false);
  await scout.isSwitchedOffAndOn();
  await scout.page.locator('h1').waitFor();
  expect(await reaches(scout)).toBe(false);
  await scout.comesIntoRange();
  expect(await reaches(scout)).toBe(true);
});

test('a phone that has left the app runs none of it, and its database can be opened', async () => {
  await scout.leavesTheApp();
  const left = () => [origin, document.documentElement.innerText, performance.getEntriesByType('resource').length];
  expect(await scout.page.evaluate(left)).toEqual([nursery.server.url, '', 0]);
  expect((await kept(scout)).device).not.toBe('');
  await scout.opens('/');
  await scout.page.locator('h1').waitFor();
});

test('a server that dies answers nobody until it comes back', async () => {
  await nursery.server.dies();
  expect(await reaches(scout)).toBe(false);
  await nursery.server.comesBack();
  expect(await reaches(scout)).toBe(true);
});

test('axe finds a fault that was put there', async () => {
  const desk = await nursery.desk('supervisor');
  expect(await desk.accessibilityFaults()).toEqual([]);
  await desk.page.evaluate(() => document.querySelector('main')?.append(document.createElement('button')));
  expect((await desk.accessibilityFaults()).join()).toContain('button-name');
});

test('axe finds what is too small for a finger, wherever the page is scrolled', async () => {
  const desk = await nursery.desk('supervisor');
  await desk.page.evaluate(() => {
    for (const _ of [1, 2]) {
      const button = document.createElement('button');
      button.textContent = 'i';
      button.style.cssText = 'display: block; width: 16px; height: 16px; min-height: 0; min-width: 0; padding: 0';
      // On top, where the welcome at the foot never covers one.
      document.querySelector('main')?.prepend(button);
    }
  });
  const small = (await desk.accessibilityFaults()).filter((fault) => fault.startsWith('target-size: '));
  expect(small).toHaveLength(2);
});

test('words too faint are found, whether by their colour, by what they are in, or by a ground that lets through', async () => {
  expect(await contrastFaults(scout)).toEqual([]);
  // #595959 on white has 7.0:1 and #5a5a5a 6.9:1, by the formula of WCAG 2.2 for the contrast ratio.
  for (const [around, words, isWrong] of [
    ['', 'color: #595959', false],
    ['', 'color: #5a5a5a', true],
    ['opacity: 0.7', 'color: #333', true],
    ['background: #000', 'color: #fff', false],
    ['background: #000; opacity: 0.5', 'color: #fff', true],
    ['background: #0008', 'color: #fff', true],
  ] as const) {
    await scout.page.evaluate(
      ([around, words]) => {
        const [ground, box, word] = ['div', 'p', 'b'].map((kind) => document.createElement(kind));
        // By script, since the app's own policy forbids styles in its text.
        ground!.style.cssText = 'background: #fff';
        box!.style.cssText = around;
        word!.style.cssText = words;
        word!.textContent = 'word';
        box!.append(word!);
        ground!.append(box!);
        document.querySelector('main')?.replaceChildren(ground!);
      },
      [around, words] as const,
    );
    expect(await contrastFaults(scout), `${around}; ${words}`).toHaveLength(isWrong ? 1 : 0);
  }
});
