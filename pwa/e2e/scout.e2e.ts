/** A scout's day in a real browser: walking out of range, correcting, and meeting the others' notes at the end. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Device, Nursery } from './harness.ts';
import { openSmallNursery, type Line } from './small.ts';
import { turnsTo } from './states.ts';
import {
  eightPots,
  hasEverything,
  kept,
  notesPot,
  opensBed,
  potsNoted,
  potsOf,
  seesBeds,
  startsWalk,
  tapsPot,
  until,
  walkOf,
} from './walking.ts';

let nursery: Nursery;
let ana: Device;
let second: Device;
let bed = '';
let walk = '';

beforeAll(async () => {
  // Two people, or both phones would be one scout's.
  nursery = await openSmallNursery(
    ['Ilse Marr', 'Tom Reed'].map((name, i): Line => ['person', { of: `${i + 5}`.repeat(32), name, role: 'scout' }]),
  );
  [ana, second] = [await nursery.phone('scout'), await nursery.phone('scout')];
  for (const phone of [ana, second]) {
    await seesBeds(phone);
    await hasEverything(phone);
    await phone.isReadyForTheField();
  }
  bed = (await ana.page.locator('.lines a b').first().textContent()) ?? '';
});
afterAll(() => nursery.close());

test('with the network off from before the app is opened, eight pots are walked and each is saved', async () => {
  await ana.goesOutOfRange();
  await ana.isSwitchedOffAndOn();
  await seesBeds(ana);
  await opensBed(ana, bed);
  await startsWalk(ana);
  walk = walkOf(ana);
  for (const [index, pot] of eightPots.entries()) {
    await tapsPot(ana, pot);
    // The walk's opening, and one note a pot.
    await until(ana, (now) => now.waiting === index + 2);
  }
  await ana.sees(/Uniformity \d+/);
  await ana.sees(/about \d+ more|enough/);
});

test('a full pot takes eight taps', async () => {
  expect(await tapsPot(ana, { head: '30', buds: '41' })).toBe(8);
});

test('closed and opened again out of range, everything is there, even the half filled card', async () => {
  await ana.page.getByRole('button', { name: '2', exact: true }).tap();
  await ana.page.getByRole('button', { name: '9', exact: true }).tap();
  await ana.page.getByText('✓ saved').waitFor();
  await ana.isSwitchedOffAndOn();
  await ana.sees(/9 pots noted, not ended/);
  await ana.taps('Continue the walk');
  await ana.page.locator('.traits').waitFor();
  expect(await potsNoted(ana)).toBe(9);
  expect(await ana.page.locator('.traits b').first().textContent()).toBe('29');
});

test('one pot is corrected and one struck out, and both can be seen to have been', async () => {
  await ana.taps('More');
  await ana.taps('Save the pot as is');
  await ana.taps('More');
  await ana.taps('Earlier pots');
  await ana.page.locator('.pots [aria-expanded]').nth(4).tap();
  await ana.page.getByRole('button', { name: 'Correct', exact: true }).tap();
  await ana.sees(/Correcting pot/);
  await ana.page.getByRole('button', { name: 'Erase the last digit' }).tap();
  await ana.page.getByRole('button', { name: '5', exact: true }).tap();
  await ana.taps('Apply');
  await ana.sees(/^pot 11 of about/);
  await ana.taps('More');
  await ana.taps('Earlier pots');
  await ana.page.locator('.pots [aria-expanded]').first().tap();
  await ana.taps('Strike out');
  await ana.taps('the wrong pot');
  await ana.sees('struck out: the wrong pot');
  await ana.taps('Close');
  expect(await potsNoted(ana)).toBe(9);
});

test('undo takes back the last tap, and after it the pot before', async () => {
  await ana.page.getByRole('button', { name: '3', exact: true }).tap();
  await ana.taps('Undo');
  const head = () => ana.page.locator('.traits b').first().textContent();
  await expect.poll(head).toBe('–');
  // One tap too many says what the next would do; the button has that name then.
  await ana.taps('Undo');
  await ana.sees(/^Nothing left to undo here/);
  expect(await ana.page.getByText(/Correcting pot/).count()).toBe(0);
  await ana.taps('Correct pot 9');
  await ana.sees(/Correcting pot/);
  // Left without applying, the change is discarded; Undo has it back.
  await ana.page.locator('.traits button').first().tap();
  for (const digit of ['3', '3']) await ana.page.getByRole('button', { name: digit, exact: true }).tap();
  await ana.sees('not applied yet');
  await ana.taps('Discard');
  await ana.page.locator('.news', { hasText: 'Discarded.' }).waitFor();
  await ana.sees(/^pot 10 of about/);
  await ana.taps('Undo');
  await ana.sees(/Correcting pot/);
  await expect.poll(head).toBe('33');
  await ana.taps('Discard');
  await ana.sees(/^pot 10 of about/);
});

test('a pot is skipped with a reason, and another one than planned is taken', async () => {
  const place = await ana.page.locator('.place').textContent();
  await ana.taps('More');
  await ana.taps('Skip this pot');
  await ana.taps('no pot there');
  await ana.sees('Pot skipped.');
  await expect.poll(() => ana.page.locator('.place').textContent()).not.toBe(place);
  await ana.taps('More');
  await ana.taps('Another pot');
  await ana.page.getByLabel('Row', { exact: true }).fill('2');
  await ana.page.getByLabel('Counted from the right, seen from the door', { exact: true }).fill('1');
  await ana.taps('Take this pot');
  await ana.sees(/^row 2 · /);
  expect(await ana.page.locator('.place').textContent()).toMatch(/1st in.*from the right, seen from the door/);
  await notesPot(ana, { head: '30', buds: '40' });
});

test('in range again the notes go by themselves, and a second phone that walked the same bed has them too', async () => {
  await second.goesOutOfRange();
  await opensBed(second, bed);
  await startsWalk(second);
  const other = walkOf(second);
  for (const pot of eightPots.slice(0, 3)) await notesPot(second, pot);
  for (const phone of [ana, second]) {
    expect((await kept(phone)).waiting).toBeGreaterThan(3);
    await phone.comesIntoRange();
  }
  // Once both have sent everything, each has everything of both.
  for (const phone of [ana, second]) await until(phone, (now) => now.waiting === 0);
  for (const phone of [ana, second]) await hasEverything(phone);
  const here = await potsOf(ana, [walk, other]);
  expect(here).toBe(await potsOf(second, [walk, other]));
  expect((here.match(/"kind": "pot"/g) ?? []).length).toBe(11 + 3);
  await turnsTo(ana, '/notes');
  await ana.sees('All notes sent.');
  await ana.sees(/Phone and server matched/);
});

test('the end of the walk says what was found, and the walk is ended', async () => {
  await turnsTo(ana, `/walk/${walk}/end`);
  await ana.sees(/Uniformity \d+ \(\d+ to \d+\)/);
  await ana.sees(/^Held back by/);
  await ana.taps('End the walk');
  await ana.page.getByRole('heading', { name: 'Today' }).waitFor();
  expect(await ana.page.getByText('Continue the walk').count()).toBe(0);
});

test('a scout has no way into the office, and reads at a page of its that it is not for them', async () => {
  // The test before leaves as the walk ends, and Today with its bar is drawn after that.
  await expect.poll(() => ana.page.locator('.bar a').allTextContents()).toEqual(['Today', 'Notes', 'Settings']);
  await turnsTo(ana, '/crops');
  await ana.sees(/This page is for supervisors/);
});
