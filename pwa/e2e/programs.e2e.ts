/** The page for other programs: a key is made, seen once, used by what has nothing but it, and revoked. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Device, Nursery } from './harness.ts';
import { shows } from './pages.ts';
import { openSmallNursery } from './small.ts';
import { choosesLanguage, turnsTo } from './states.ts';

let nursery: Nursery;
let desk: Device;

beforeAll(async () => {
  nursery = await openSmallNursery();
  desk = await nursery.desk('owner');
  await shows(desk, '/programs');
});

afterAll(async () => nursery.close());

/** The first form of the page: that of the keys. */
const form = () => desk.page.locator('.programs form').first();
const secret = () => desk.page.locator('.once input').inputValue();

/** What a program receives that has no cookie of ours. */
async function fetched(address: string, key?: string): Promise<{ status: number; text: string }> {
  const answer = await fetch(address, key === undefined ? {} : { headers: { Authorization: `Bearer ${key}` } });
  return { status: answer.status, text: await answer.text() };
}

async function pictures(name: string): Promise<void> {
  await desk.picture(`${name}-desk`);
  await desk.page.setViewportSize({ width: 390, height: 844 });
  await desk.picture(`${name}-phone`);
  await desk.page.setViewportSize({ width: 1440, height: 900 });
}

let address = '';

test('a spreadsheet gets the address of one table, which is shown once', async () => {
  await desk.taps('Make the key');
  await desk.sees('Enter a name, up to 80 characters.');
  await form().getByLabel('Name', { exact: true }).fill('Office spreadsheet');
  await form().getByLabel('Table', { exact: true }).selectOption('lot');
  await desk.taps('Make the key');
  await desk.sees('Copy it now: it is shown only this once.');
  await desk.sees(/Whoever has this address can read the table/);
  address = await secret();
  expect(new URL(address).pathname).toBe('/api/out/csv/lot');
  const { status, text } = await fetched(address);
  expect(status).toBe(200);
  expect(text.split('\r\n')[0]).toMatch(/^id,tag,/);
  expect((await fetched(address.replace('/csv/lot', '/csv/bed'))).status).toBe(403);
  await pictures('programs-address');
  expect(await desk.accessibilityFaults()).toEqual([]);
  await desk.taps('Make another key');
  await desk.sees('reads one table: Lots');
  expect(await desk.page.content()).not.toContain(new URL(address).searchParams.get('key'));
});

test('a program gets a key for its requests, by keyboard alone', async () => {
  const { keyboard } = desk.page;
  await form().getByLabel('Name', { exact: true }).focus();
  await keyboard.type('Wall board');
  await keyboard.press('Tab');
  await keyboard.press('ArrowRight');
  await desk.page.getByLabel('It may read about people too').waitFor();
  await form().getByLabel('Name', { exact: true }).focus();
  await keyboard.press('Enter');
  await desk.sees(/Keep it where passwords are kept/);
  const key = await secret();
  const views = new URL('/api/views/', address).href;
  expect((await fetched(`${views}names`, key)).status).toBe(200);
  expect((await fetched(`${views}scouts`, key)).status).toBe(403);
  expect((await fetched(`${views}names`)).status).toBe(401);
  await pictures('programs-key');
  await desk.taps('Make another key');
});

test('a revoked key is refused from then on, and stands among the revoked ones', async () => {
  await desk.taps('Revoke “Office spreadsheet”');
  await desk.sees(/Whatever uses it can read nothing from then on/);
  await desk.taps('Revoke it');
  await desk.page.getByText('Revoked keys').click();
  await desk.sees(/Revoked at/);
  const { status, text } = await fetched(address);
  expect(status).toBe(401);
  expect(JSON.parse(text)).toMatchObject({ code: 'key_revoked' });
  await pictures('programs-revoked');
});

test('an owner adds a webhook, tests it and removes it', async () => {
  await desk.page.getByLabel('Address', { exact: true }).fill('https://localhost/bedwalk');
  await desk.page.getByRole('form', { name: 'Add a webhook' }).getByLabel('Name', { exact: true }).fill('Order system');
  await desk.taps('Add it');
  await desk.page.getByRole('textbox', { name: 'Secret of “Order system”' }).waitFor();
  expect(await secret()).toMatch(/^whsec_/);
  await desk.taps('Add another');
  // Nothing is sent to the machine itself.
  await desk.taps('Send a test to “Order system”');
  await desk.sees(/The test was not taken: .*private network/);
  await desk.page.getByText('Log', { exact: true }).click();
  await desk.page.getByRole('table', { name: /Messages to “Order system”/ }).waitFor();
  await desk.taps('Switch off: Order system');
  await desk.sees('Switched off.');
  await pictures('programs-webhook');
  expect(await desk.accessibilityFaults()).toEqual([]);
  await desk.taps('Remove: Order system');
  await desk.taps('Remove it');
  await desk.sees('No webhook yet.');
});

test('the page of the API fits a phone and a desk, and axe finds nothing wrong with it', async () => {
  const at = desk.page.url();
  await desk.page.goto(new URL('/api/reference', at).href);
  await desk.sees('Bedwalk for programs');
  for (const width of [1440, 390]) {
    await desk.page.setViewportSize({ width, height: 844 });
    expect(await desk.page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);
    await desk.picture(`reference-${width}`);
  }
  // One template draws every route and every type; of a page with all of them axe takes a minute.
  await desk.page.evaluate(() => {
    for (const each of document.querySelectorAll('main > section > :nth-child(n + 6)')) each.remove();
  });
  expect(await desk.accessibilityFaults('all')).toEqual([]);
  await desk.page.setViewportSize({ width: 1440, height: 900 });
  await desk.page.goto(at);
  await desk.page.locator('.supervisor main h1').waitFor();
});

test('the page is there in Spanish', async () => {
  await choosesLanguage(desk, 'es');
  await turnsTo(desk, '/programs');
  await desk.sees('Hacer una clave');
  await pictures('programs-es');
  expect(await desk.accessibilityFaults()).toEqual([]);
});
