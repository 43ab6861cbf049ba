/** Every state of the scout's screens in every look: nothing for axe to find, words and marks that stand out, room for a thumb. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Device, Nursery } from './harness.ts';
import { brokenWords, contrastFaults, shapeFaults } from './rendered.ts';
import { BED_1, BED_2, LOT_1, openSmallNursery } from './small.ts';
import { statesOf, turnsTo, type State, wears } from './states.ts';
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
  phone = await nursery.phoneInRange('scout');
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

/** Looks at each state as soon as it is open, and goes on to the next: to open them all again costs as much as a look. */
async function faultsOfStates(looks: (state: State) => Promise<string[]>): Promise<string[]> {
  const faults: string[] = [];
  for (const state of states) {
    await state.open(phone);
    faults.push(...(await looks(state)).map((fault) => `${state.name}, ${fault}`));
  }
  return faults;
}

/** A walk that has to be scrolled would have its keys under the fold; a word in two halves is no word to a glance. */
async function cardFaults(): Promise<string[]> {
  const high = await phone.page.evaluate(() => document.documentElement.scrollHeight);
  const tooHigh = high === 740 ? [] : [`${high} px high, must be scrolled`];
  return [...tooHigh, ...(await brokenWords(phone)).map((word) => `broken word: ${word}`)];
}

const isCard = ({ name }: State) => name.startsWith('card-');

const themes = ['plain', 'sun', 'dark'] as const;

test('in English each state has nothing for axe to find and room for a thumb, and in every theme 7:1 for words and 3:1 for marks; no card has to be scrolled', async () => {
  await speaks('en');
  const faults = await faultsOfStates(async (state) => {
    const found = [...(await shapeFaults(phone, state.limits)), ...(isCard(state) ? await cardFaults() : [])];
    found.push(...(await phone.accessibilityFaults('all')));
    for (const theme of themes) {
      await wears(phone, theme);
      if (theme === 'plain' || everyPicture) await phone.picture(`scout-${state.name}-en-${theme}`);
      found.push(...(await contrastFaults(phone)).map((fault) => `${theme}: ${fault}`));
    }
    await wears(phone, 'plain');
    return found;
  });
  expect(faults.join('\n')).toBe('');
});

test('a button of which the bar below covers all but 3 px, as the page is scrolled now, is not called too small', async () => {
  await speaks('en');
  const endOpen = states.findIndex(({ name }) => name === 'end-open');
  for (const state of states.slice(0, endOpen + 1).filter((each) => isCard(each) || each.name === 'end-open')) {
    await state.open(phone);
  }
  await phone.page.locator('.end .open').evaluate((card: HTMLElement) => {
    scrollTo(0, 0);
    const [bar, discard] = ['.end .entrance', '.end .open .clay'].map((each) => document.querySelector(each)!);
    const down = bar!.getBoundingClientRect().top - 3 - discard!.getBoundingClientRect().top;
    card.style.paddingTop = `${Number.parseFloat(getComputedStyle(card).paddingTop) + down}px`;
  });
  expect(await phone.accessibilityFaults()).toEqual([]);
});

/** Spanish words are longer. */
const tight = [
  ['on a screen of 320 px', 320, ''],
  ['with letters of twice the size', 360, '200%'],
  ['with large text by the setting', 360, '118%'],
] as const;

test('in Spanish each state has a name for all that axe asks one of, 7:1 for words and room for a thumb; no card has to be scrolled, and nothing is cut off on 320 px or with larger letters', async () => {
  await speaks('es');
  const faults = await faultsOfStates(async (state) => {
    const found = [...(await shapeFaults(phone, state.limits)), ...(isCard(state) ? await cardFaults() : [])];
    await phone.picture(`scout-${state.name}-es-plain`);
    // Colours are the same in both languages, and were looked at in every theme in English.
    found.push(...(await phone.accessibilityFaults('names')), ...(await contrastFaults(phone)));
    for (const [where, width, text] of tight) {
      await fits(width, text);
      const wrong = await shapeFaults(phone, { target: 0, from: 0 });
      const cut = wrong.filter((fault) => /cut off|too wide/.test(fault));
      found.push(...cut.map((fault) => `${where}: ${fault}`));
      if (everyPicture) await phone.picture(`scout-${state.name} ${where}`);
    }
    await fits(360, '');
    return found;
  });
  expect(faults.join('\n')).toBe('');
});

/** Gives the screen this width and letters this size. What measures itself is drawn once more. */
async function fits(width: number, text: string): Promise<void> {
  await phone.page.setViewportSize({ width, height: 740 });
  await phone.page.evaluate(async (size) => {
    document.documentElement.style.fontSize = size;
    for (let frame = 0; frame < 2; frame++) await new Promise((drawn) => requestAnimationFrame(drawn));
  }, text);
}

test('a theme chosen in the settings is on the screen at once, and still there after a new start', async () => {
  await speaks('en');
  await turnsTo(phone, '/settings');
  const paper = () => phone.page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor);
  const plain = await paper();
  await phone.page.getByText('dark', { exact: true }).tap();
  await expect.poll(paper).not.toBe(plain);
  const dark = await paper();
  await phone.opens('/settings');
  expect(await paper()).toBe(dark);
  await phone.page.getByText('plain', { exact: true }).tap();
});

test.each(['en', 'es'])(
  'with large text by the setting no card has to be scrolled at 360 by 740 and no word is broken, in %s',
  async (language) => {
    await speaks(language, { text: 'large' });
    const faults: string[] = [];
    for (const state of states.filter(isCard)) {
      await state.open(phone);
      faults.push(...(await cardFaults()).map((fault) => `${state.name}: ${fault}`));
      await phone.picture(`scout-${state.name}-${language}-large`);
    }
    expect(faults.join('\n')).toBe('');
  },
);
