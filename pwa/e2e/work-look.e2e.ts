/** How the forms look and can be reached: every one, in three themes and two languages, with its complaints showing. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { openNursery, type Device, type Nursery } from './harness.ts';

let nursery: Nursery;
let scout: Device;

beforeAll(async () => {
  nursery = await openNursery();
  scout = await nursery.phone('scout');
});
afterAll(() => nursery?.close());

const forms = ['lot', 'move', 'step', 'event', 'application', 'loss', 'recount', 'rooting', 'reading', 'note'];
const looks = [
  ['en', 'plain'],
  ['es', 'sun'],
  ['es', 'dark'],
] as const;

test.each(looks)('every form in %s and %s can be read, reached and hit with a wet thumb', async (language, theme) => {
  await scout.page.evaluate(
    ([language, theme]) => localStorage.setItem('bedwalk-settings', JSON.stringify({ language, theme })),
    [language, theme] as const,
  );
  const faults: string[] = [];
  for (const path of ['/work', '/scan', '/work/photo', ...forms.map((form) => `/work/${form}`)]) {
    await scout.opens(path);
    await scout.page.locator('.work .foot').waitFor();
    if (forms.some((form) => path === `/work/${form}`)) {
      await scout.page.locator('.work button[type=submit]').last().tap();
      await scout.page.locator('.work .problems').waitFor();
    }
    await scout.picture(`work-${language}-${theme}${path.replaceAll('/', '-')}`);
    for (const fault of [...(await scout.accessibilityFaults()), ...(await tooSmall()), ...(await tooWide())]) {
      faults.push(`${path}: ${fault}`);
    }
  }
  expect(faults).toEqual([]);
});

/** What is to be tapped and is smaller than a wet thumb needs (64 px). */
function tooSmall(): Promise<string[]> {
  return scout.page.evaluate(() => {
    const seen = [
      ...document.querySelectorAll('main :is(button, select, textarea, .card, .tick, .file, .line > input)'),
    ];
    return seen.flatMap((each) => {
      const { width, height } = each.getBoundingClientRect();
      return height > 0 && Math.min(width, height) < 63.5
        ? [`${each.tagName} ${each.textContent?.slice(0, 20) ?? ''} is ${width} × ${height}`]
        : [];
    });
  });
}

function tooWide(): Promise<string[]> {
  return scout.page.evaluate(() =>
    document.documentElement.scrollWidth > innerWidth ? [`${document.documentElement.scrollWidth} px wide`] : [],
  );
}
