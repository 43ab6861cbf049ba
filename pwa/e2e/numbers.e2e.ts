/** What a thumb types on the pot card and what stands there afterwards: numbers typed over, and those that are refused. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Device, Nursery } from './harness.ts';
import { openSmallNursery, walkOfFirstBed } from './small.ts';
import { turnsTo } from './states.ts';
import { hasEverything, notesPot, opensBed, seesBeds, startsWalk } from './walking.ts';

let nursery: Nursery;
let phone: Device;

beforeAll(async () => {
  const earlier = Array.from({ length: 10 }, (_, i) => ({ head_a_mm: 290 + i, buds: 40 + (i % 3) }));
  nursery = await openSmallNursery(walkOfFirstBed(earlier));
  phone = await nursery.phoneInRange('scout');
  await seesBeds(phone);
  // A head is doubted by the walk before, which comes after the beds.
  await hasEverything(phone);
  await opensBed(phone, 'Heron, H1');
  await startsWalk(phone);
});
afterAll(() => nursery?.close());

const types = async (...names: string[]) => {
  for (const name of names) await phone.page.getByRole('button', { name, exact: true }).first().tap();
};
const turnsCard = (trait: string) => phone.page.locator('.traits button', { hasText: trait }).tap();
/** What stands in large on the card, and on one of its tabs, as soon as it does. */
const big = (text: string) => expect.poll(() => phone.page.locator('.traits .on b').textContent()).toBe(text);
const tab = (nth: number, text: string) =>
  expect.poll(() => phone.page.locator('.traits b').nth(nth).textContent()).toBe(text);

test('the first digit on a number that stands there begins another', async () => {
  await types('3', '1');
  await turnsCard('head');
  await types('2', '9');
  await tab(0, '29');
  await types('4', '2');
  await turnsCard('roots');
  await turnsCard('buds');
  await types('3', '8');
  await tab(1, '38');
  await turnsCard('head');
  await types('Erase the last digit', '8');
  await tab(0, '28');
});

test('a head far from the walk before is doubted on the card that follows, from the first pot on', async () => {
  await turnsCard('head');
  await types('9', '1');
  await phone.page.locator('.doubt', { hasText: /^head: 91/ }).waitFor();
  await turnsCard('head');
  await types('2', '9');
  await phone.page.locator('.doubt').waitFor({ state: 'detached' });
});

test('more buds than can be are shown, not taken, and not called saved', async () => {
  await turnsCard('buds');
  await types('9', '9', '9', '9');
  await big('9999');
  await phone.sees('9999 is too large (0 to 2,000). Not saved.');
  expect(await phone.page.locator('.status').count()).toBe(0);
  await turnsCard('head');
  await tab(1, '–');
  await turnsCard('buds');
  await types('4', '1');
  await big('41');
});

test('bare tips are seen as they are typed, and which diameter is', async () => {
  await types('bare tips', '1', '2');
  await big('12');
  await phone.page.locator('.traits .on', { hasText: 'bare tips' }).waitFor();
  await turnsCard('head');
  await phone.page.locator('.pad button', { hasText: '2nd' }).tap();
  await big('–');
  await phone.page.locator('.traits .on', { hasText: '2nd ⌀' }).waitFor();
  await types('3', '3');
  await tab(0, '29 × 33');
});

test('what the scratch showed is on its tile and in the list of pots', async () => {
  await turnsCard('roots');
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
  await phone.page.getByText('Not saved.').waitFor({ state: 'detached' });
  await phone.taps('Take this pot');
  await phone.sees(/^row 58 · /);
});

test('how to score is in the settings too, and Back leads past its tabs', async () => {
  await turnsTo(phone, '/settings');
  await phone.page.getByRole('link', { name: 'How to score a pot' }).tap();
  for (const [at, title] of ['Finding the next pot', 'Head size', 'Bud count', 'Roots', 'Pale leaves'].entries()) {
    await phone.page.locator('.tabs a').nth(at).tap();
    await phone.page.getByRole('heading', { level: 1, name: title }).waitFor();
  }
  await phone.taps('Back');
  await phone.page.getByRole('heading', { level: 1, name: 'Settings' }).waitFor();
});

const typed = (name: RegExp) => phone.page.getByRole('textbox', { name });

test('in the mixing arithmetic what no container has is reported at its field, and clearing can be undone', async () => {
  await turnsTo(phone, '/work/mix');
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
