/** Every state of the scout's screens in every look: nothing for axe to find, words and marks that stand out, room for a thumb. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Device, Nursery } from './harness.ts';
import { brokenWords, contrastFaults, shapeFaults } from './rendered.ts';
import { BED_1, BED_2, LOT_1, openSmallNursery } from './small.ts';
import { statesOf, turnsTo, type State } from './states.ts';
import { notesPot, opensBed, seesBeds, startsWalk, walkOf } from './walking.ts';

const HOUR_MS = 3_600_000;
/** A picture of each state in each look takes as long as the looking. */
const everyPicture = process.env['PICTURES'] === 'all';

let nursery: Nursery;
let phone: Device;
let states: readonly State[] = [];

beforeAll(async () => {
  const sprayed = { beds: [BED_2], purpose: 'growth_regulator' as const, active: 'daminozide', entry_hours: 24 };
  nursery = await openSmallNursery([['application', { ...sprayed, ended_at: Date.now() - HOUR_MS }, { bed: BED_2 }]]);
  phone = await nursery.phone('scout');
  await phone.page.setViewportSize({ width: 360, height: 740 });
  await seesBeds(phone);
  await opensBed(phone, 'Heron, H1');
  await startsWalk(phone);
  for (const head of ['30', '31', '29', '33', '30', '32']) await notesPot(phone, { head, buds: '42' });
  states = statesOf({ walk: walkOf(phone), bed: BED_1, lot: LOT_1, closedBed: BED_2 });
});
afterAll(() => nursery?.close());

async function speaks(language: string, more: Record<string, unknown> = {}): Promise<void> {
  await phone.page.evaluate(
    (chosen) => {
      const slot = 'bedwalk-settings';
      localStorage.setItem(slot, JSON.stringify({ ...JSON.parse(localStorage.getItem(slot) ?? '{}'), ...chosen }));
    },
    { language, ...more },
  );
  await phone.opens('/');
  await phone.page.waitForFunction((wanted) => document.documentElement.lang === wanted, language);
  await seesBeds(phone);
}

/** What a theme does to the page, and nothing else: the setting's own effect is looked at in its own test. */
async function turnsLight(theme: string): Promise<void> {
  await phone.page.evaluate((wanted) => (document.documentElement.dataset['theme'] = wanted), theme);
}

const themes = ['plain', 'sun', 'dark'] as const;

describe.each(['en', 'es'] as const)('in %s', (language) => {
  test('each state has nothing for axe to find, 7:1 for words, 3:1 for marks and room for a thumb, in every theme', async () => {
    await speaks(language);
    const faults: string[] = [];
    for (const { name, limits, open } of states) {
      await open(phone);
      faults.push(...(await shapeFaults(phone, limits)).map((fault) => `${name}: ${fault}`));
      for (const theme of themes) {
        await turnsLight(theme);
        if (theme === 'plain' || everyPicture) await phone.picture(`scout-${name}-${language}-${theme}`);
        const asked = theme === 'plain' ? 'all' : 'colours';
        const found = [...(await phone.accessibilityFaults(asked)), ...(await contrastFaults(phone))];
        faults.push(...found.map((fault) => `${name}, ${theme}: ${fault}`));
      }
      await turnsLight('plain');
    }
    expect(faults).toEqual([]);
  });
});

test('a theme chosen in the settings is on the screen at once, and still there after a new start', async () => {
  await speaks('en');
  await turnsTo(phone, '/settings');
  const paper = () => phone.page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor);
  const plain = await paper();
  await phone.page.getByText('dark', { exact: true }).tap();
  const dark = await paper();
  expect(dark).not.toBe(plain);
  await phone.opens('/settings');
  expect(await paper()).toBe(dark);
  await phone.page.getByText('plain', { exact: true }).tap();
});

/** A walk that has to be scrolled would have its keys under the fold; a word in two halves is no word to a glance. */
test.each([
  ['en', 'normal'],
  ['es', 'normal'],
  ['en', 'large'],
  ['es', 'large'],
])(
  'in a walk nothing has to be scrolled at 360 by 740 and no word is broken, in %s, text %s',
  async (language, text) => {
    await speaks(language, { text });
    const faults: string[] = [];
    for (const state of states.filter(({ name }) => name.startsWith('card-'))) {
      await state.open(phone);
      const high = await phone.page.evaluate(() => document.documentElement.scrollHeight);
      if (high !== 740) faults.push(`${state.name} is ${high} px high`);
      faults.push(...(await brokenWords(phone)).map((word) => `${state.name}: ${word}`));
      if (text === 'large') await phone.picture(`scout-${state.name}-${language}-large`);
    }
    await speaks('en', { text: 'normal' });
    expect(faults).toEqual([]);
  },
);

/** In Spanish, whose words are longer. */
test.each([
  ['on a screen of 320 px', 320, ''],
  ['with letters of twice the size', 360, '200%'],
  ['with large text by the setting', 360, '118%'],
])('%s nothing is cut off', async (name, width, text) => {
  await phone.page.setViewportSize({ width, height: 740 });
  await speaks('es');
  const faults: string[] = [];
  for (const state of states) {
    await phone.page.evaluate((size) => (document.documentElement.style.fontSize = size), text);
    await state.open(phone);
    const wrong = await shapeFaults(phone, { target: 0, from: 0 });
    const cut = wrong.filter((fault) => /cut off|too wide/.test(fault));
    faults.push(...cut.map((fault) => `${state.name}: ${fault}`));
    if (everyPicture) await phone.picture(`scout-${state.name} ${name}`);
  }
  expect(faults).toEqual([]);
  await phone.page.evaluate(() => (document.documentElement.style.fontSize = ''));
  await phone.page.setViewportSize({ width: 360, height: 740 });
});
