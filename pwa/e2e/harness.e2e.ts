/** The harness judges everything else, so it is judged first: out of range must be out of range, dead must be dead. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { openNursery, type Device, type Nursery } from './harness.ts';
import { pairingLinks } from './server.ts';

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
