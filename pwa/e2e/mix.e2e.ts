/** The mixing arithmetic as it is typed. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { openNursery, type Device, type Nursery } from './harness.ts';

let nursery: Nursery;
let scout: Device;

beforeAll(async () => {
  nursery = await openNursery();
  scout = await nursery.phone('scout');
});
afterAll(() => nursery?.close());

const field = (name: RegExp) => scout.page.getByRole('textbox', { name });

test('what no container has is reported at its field, and clearing can be undone', async () => {
  await scout.opens('/work/mix');
  await field(/^Active ingredient/).fill('120');
  await scout.sees(/Percent: above 0, at most 100/);
  await field(/^Active ingredient/).fill('85');
  await scout.page.getByRole('radio', { name: /^dry/ }).check({ force: true });
  await field(/^Strength/).fill('1,200');
  await scout.sees(/1,200 can be read two ways. Enter 1200 or 1.200./);
  await field(/^Strength/).fill('1200');
  await field(/^How much mix/).fill('10');
  // 1200 mg/L in 10 L are 12 g of the active ingredient; of a product of 85 % that is 12 / 0.85 g. Worked by hand.
  await scout.sees(/^14\.12.g of product for 10.L of mix/);
  await scout.taps('Clear this form');
  await scout.sees('Cleared.');
  expect(await field(/^Strength/).inputValue()).toBe('');
  await scout.taps(/^Undo$/);
  await scout.sees(/^14\.12.g of product/);
  await scout.taps('Clear this form');
});
