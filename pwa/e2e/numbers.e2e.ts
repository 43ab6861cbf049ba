/** What a thumb types on the pot card and what stands there afterwards: numbers typed over, and those that are refused. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Device, Nursery } from './harness.ts';
import { openSmallNursery, walkOfFirstBed } from './small.ts';
import { notesPot, opensBed, seesBeds, startsWalk } from './walking.ts';

let nursery: Nursery;
let phone: Device;

beforeAll(async () => {
  const earlier = Array.from({ length: 10 }, (_, i) => ({ head_a_mm: 290 + i, buds: 40 + (i % 3) }));
  nursery = await openSmallNursery(walkOfFirstBed(earlier));
  phone = await nursery.phone('scout');
  await seesBeds(phone);
  await opensBed(phone, 'Heron, H1');
  await startsWalk(phone);
});
afterAll(() => nursery?.close());

const types = async (...names: string[]) => {
  for (const name of names) await phone.page.getByRole('button', { name, exact: true }).first().tap();
};
const turnsTo = (trait: string) => phone.page.locator('.traits button', { hasText: trait }).tap();
const big = () => phone.page.locator('.traits .on b').textContent();
const tab = (nth: number) => phone.page.locator('.traits b').nth(nth).textContent();

test('the first digit on a number that stands there begins another', async () => {
  await types('3', '1');
  await turnsTo('head');
  await types('2', '9');
  expect(await tab(0)).toBe('29');
  await types('4', '2');
  await turnsTo('roots');
  await turnsTo('buds');
  await types('3', '8');
  expect(await tab(1)).toBe('38');
  await turnsTo('head');
  await types('Erase the last digit', '8');
  expect(await tab(0)).toBe('28');
});

test('a head far from the walk before is doubted on the card that follows, from the first pot on', async () => {
  await turnsTo('head');
  await types('9', '1');
  await phone.page.locator('.doubt', { hasText: /^head: 91/ }).waitFor();
  await turnsTo('head');
  await types('2', '9');
  expect(await phone.page.locator('.doubt').count()).toBe(0);
});

test('more buds than can be are shown, not taken, and not called saved', async () => {
  await turnsTo('buds');
  await types('9', '9', '9', '9');
  expect(await big()).toBe('9999');
  await phone.sees('9999 is too large (0 to 2,000). Not saved.');
  expect(await phone.page.locator('.status').count()).toBe(0);
  await turnsTo('head');
  expect(await tab(1)).toBe('–');
  await turnsTo('buds');
  await types('4', '1');
  expect(await big()).toBe('41');
});

test('bare tips are seen as they are typed, and which diameter is', async () => {
  await types('bare tips', '1', '2');
  expect(await big()).toBe('12');
  await phone.page.locator('.traits .on', { hasText: 'bare tips' }).waitFor();
  await turnsTo('head');
  await phone.page.locator('.pad button', { hasText: '2nd' }).tap();
  expect(await big()).toBe('–');
  await phone.page.locator('.traits .on', { hasText: '2nd ⌀' }).waitFor();
  await types('3', '3');
  expect(await tab(0)).toBe('29 × 33');
});

test('what the scratch showed is on its tile and in the list of pots', async () => {
  await turnsTo('roots');
  await phone.page.getByRole('button', { name: /^3: / }).tap();
  await phone.page.getByRole('button', { name: 'scratch test' }).tap();
  await phone.page.getByRole('button', { name: 'soft, skin slides off' }).tap();
  await phone.page.getByRole('button', { name: 'scratch test: soft, skin slides off' }).waitFor();
  await phone.sees('3 · – · soft');
  await phone.taps('More');
  await phone.taps('Save the pot as is');
  await phone.sees(/^pot 2 of/);
  await phone.taps('More');
  await phone.taps('Earlier pots');
  await phone.page.locator('.pots [aria-expanded]').first().tap();
  await phone.sees(/41 · 12 bare.*3 · – · soft/);
  await phone.taps('Close');
});

test('a row that the bed does not have is reported, and not changed into another', async () => {
  await notesPot(phone, { head: '30', buds: '41' });
  await phone.taps('More');
  await phone.taps('Another pot');
  const row = phone.page.getByLabel('Row', { exact: true });
  await row.fill('999');
  await row.blur();
  await phone.sees('999 is too large (1 to 60). Not saved.');
  expect(await row.inputValue()).toBe('999');
  await row.fill('58');
  await row.blur();
  expect(await phone.page.getByText('Not saved.').count()).toBe(0);
  await phone.taps('Take this pot');
  await phone.sees(/^row 58 · /);
});

test('how to score is in the settings too, and Back leads past its tabs', async () => {
  await phone.opens('/settings');
  await phone.page.getByRole('link', { name: 'How to score a pot' }).tap();
  for (const scale of ['Bud count', 'Roots', 'Pale leaves']) {
    await phone.page.locator('.tabs a').nth(['Head size', 'Bud count', 'Roots', 'Pale leaves'].indexOf(scale)).tap();
    await phone.page.getByRole('heading', { level: 1, name: scale }).waitFor();
  }
  await phone.taps('Back');
  await phone.page.getByRole('heading', { level: 1, name: 'Settings' }).waitFor();
});

const typed = (name: RegExp) => phone.page.getByRole('textbox', { name });

test('in the mixing arithmetic what no container has is reported at its field, and clearing can be undone', async () => {
  await phone.opens('/work/mix');
  await typed(/^Active ingredient/).fill('120');
  await phone.sees(/Percent: above 0, at most 100/);
  await typed(/^Active ingredient/).fill('85');
  await phone.page.getByRole('radio', { name: /^dry/ }).check({ force: true });
  await typed(/^Strength/).fill('1,200');
  await phone.sees(/1,200 can be read two ways. Enter 1200 or 1.200./);
  await typed(/^Strength/).fill('1200');
  await typed(/^How much mix/).fill('10');
  // 1200 mg/L in 10 L are 12 g of the active ingredient; of a product of 85 % that is 12 / 0.85 g. Worked by hand.
  await phone.sees(/^14\.12.g of product for 10.L of mix/);
  await phone.taps('Clear this form');
  await phone.sees('Cleared.');
  expect(await typed(/^Strength/).inputValue()).toBe('');
  await phone.taps(/^Undo$/);
  await phone.sees(/^14\.12.g of product/);
  await phone.taps('Clear this form');
});
