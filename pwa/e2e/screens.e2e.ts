/** Every screen of the scout's: no fault for axe in any theme or language, and all to tap in reach and large enough. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Device, Nursery } from './harness.ts';
import { notesPot, opensBed, seesBeds, startsWalk, walkOf } from './walking.ts';
import { openSmallNursery } from './small.ts';

let nursery: Nursery;
let phone: Device;
let walk = '';
let bed = '';

const looks = [
  { language: 'en', theme: 'plain' },
  { language: 'es', theme: 'sun' },
  { language: 'en', theme: 'dark' },
] as const;

beforeAll(async () => {
  nursery = await openSmallNursery();
  phone = await nursery.phone('scout');
  await phone.page.setViewportSize({ width: 360, height: 740 });
  await seesBeds(phone);
  await opensBed(phone, 'Heron, H1');
  bed = new URL(phone.page.url()).pathname;
  await startsWalk(phone);
  walk = walkOf(phone);
  for (const head of ['30', '31', '29', '33', '30', '32']) await notesPot(phone, { head, buds: '42' });
});
afterAll(() => nursery.close());

const screens = (): readonly [name: string, path: string][] => [
  ['today', '/'],
  ['bed', bed],
  ['walk', `/walk/${walk}`],
  ['end', `/walk/${walk}/end`],
  ['notes', '/notes'],
  ['settings', '/settings'],
  ['pair', '/pair'],
  ...(['head', 'buds', 'roots', 'leaves'] as const).map((scale): [string, string] => [
    `help-${scale}`,
    `/help/${scale}`,
  ]),
];

async function looksLike({ language, theme }: (typeof looks)[number]): Promise<void> {
  await phone.page.evaluate(
    (chosen) => {
      const slot = 'bedwalk-settings';
      localStorage.setItem(slot, JSON.stringify({ ...JSON.parse(localStorage.getItem(slot) ?? '{}'), ...chosen }));
    },
    { language, theme },
  );
}

test.each(looks)('no screen has a fault for axe: $language, $theme', async (look) => {
  await looksLike(look);
  for (const [name, path] of screens()) {
    await phone.opens(path);
    await phone.page.locator('main h1').waitFor();
    await phone.page.waitForFunction((language) => document.documentElement.lang === language, look.language);
    await phone.picture(`scout-${name}-${look.language}-${look.theme}`);
    expect([name, ...(await phone.accessibilityFaults())]).toEqual([name]);
  }
});

/** Boxes of everything that can be tapped, as the finger meets them; links inside a sentence are excepted, as in WCAG. */
async function targets(): Promise<{ name: string; width: number; height: number; top: number }[]> {
  return phone.page.evaluate(() =>
    [
      ...document.querySelectorAll<HTMLElement>(
        'main button, main a, main input:not(.unseen), main label.card, nav a, summary',
      ),
    ]
      .filter((element) => element.checkVisibility() && getComputedStyle(element).display !== 'inline')
      .map((element) => {
        const { width, height, top } = element.getBoundingClientRect();
        return { name: element.innerText || element.getAttribute('aria-label') || element.tagName, width, height, top };
      }),
  );
}

test('everything to tap is at least 48 px, and 64 px in a walk', async () => {
  await looksLike({ language: 'es', theme: 'sun' });
  for (const [name, path] of screens()) {
    await phone.opens(path);
    await phone.page.locator('main h1').waitFor();
    const least = name === 'walk' ? 64 : 48;
    // Half a pixel is rounding, not smallness.
    const small = (await targets()).filter((box) => box.width < least - 0.5 || box.height < least - 0.5);
    expect([name, ...small]).toEqual([name]);
  }
});

test('in a walk everything to tap lies in the lower three fifths at 360 by 740', async () => {
  await looksLike({ language: 'en', theme: 'plain' });
  await phone.opens(`/walk/${walk}`);
  await phone.page.locator('.traits').waitFor();
  const line = 740 * 0.4;
  for (const trait of ['head', 'buds', 'roots', 'leaves']) {
    await phone.page.locator('.traits button', { hasText: trait }).tap();
    const high = (await targets()).filter((box) => box.top < line - 0.5);
    expect([trait, ...high]).toEqual([trait]);
    const bottom = await phone.page.evaluate(() => document.documentElement.scrollHeight);
    expect([trait, bottom]).toEqual([trait, 740]);
  }
});

test('on a screen of 320 px nothing is cut off sideways', async () => {
  await phone.page.setViewportSize({ width: 320, height: 640 });
  for (const [name, path] of screens()) {
    await phone.opens(path);
    await phone.page.locator('main h1').waitFor();
    const over = await phone.page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    expect([name, over]).toEqual([name, 0]);
  }
  await phone.page.setViewportSize({ width: 360, height: 740 });
});
