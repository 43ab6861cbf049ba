import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { AttentionView, BedsView, LotView } from '../../schema/types.ts';
import { openNursery, type Device, type Nursery } from './harness.ts';
import { lotsOf, supervisorPages, shows, turnsTo, viewOf } from './pages.ts';
import { anywhere, contrastFaults, shapeFaults, smallTargets } from './rendered.ts';
import { choosesLanguage, wears, type Language } from './states.ts';
import { until } from './walking.ts';

let nursery: Nursery;
let desk: Device;

beforeAll(async () => {
  nursery = await openNursery({ demo: true });
  desk = await nursery.viewer('supervisor', 'desk', true);
});
afterAll(async () => nursery.close());

describe('the supervisor', () => {
  test('sees the houses with their beds as strips as long as the beds, in two columns, and as many rows of what needs a step as the sentence counts', async () => {
    await shows(desk, '/beds');
    const { houses } = await viewOf<BedsView>(desk, 'beds');
    for (const { name } of houses) await desk.page.getByRole('heading', { level: 2, name }).waitFor();
    const beds = houses.flatMap((house) => house.beds);
    expect(await desk.page.locator('.beds li').count()).toBe(beds.length);
    const [one, other] = [houses[0]!.beds[0]!, houses[0]!.beds.at(-1)!];
    const boxOf = async (id: string) => (await desk.page.locator(`.beds a[href="/beds/${id}"]`).boundingBox())!;
    const [a, b] = [await boxOf(one.id), await boxOf(other.id)];
    expect(a.width / b.width).toBeCloseTo(one.length_mm / other.length_mm, 2);
    expect(b.x).toBeGreaterThan(a.x + a.width / 2);
    let { items } = await viewOf<AttentionView>(desk, 'attention');
    const saysAll = async () => {
      // What only time brings up, such as a backup that is missing, is on the page once it is read again.
      await shows(desk, '/beds');
      ({ items } = await viewOf<AttentionView>(desk, 'attention'));
      return desk.page.getByRole('link', { name: `${items.length} things need you` }).count();
    };
    await expect.poll(saysAll).toBe(1);
    expect(await desk.page.locator('.needs ol > li').count()).toBe(Math.min(items.length, 8));
    await desk.page.getByRole('link', { name: `all ${items.length}` }).click();
    await expect.poll(() => desk.page.locator('.needs ol > li').count()).toBe(items.length);
    const mark = desk.page
      .locator('.bedline')
      .filter({ has: desk.page.locator(`a[href^="/beds/${items[0]!.beds[0]!.bed}"]`) });
    expect(await mark.locator('.rank').textContent()).toBe('1');
  });

  test('opens a mixed bed and finds its lots, bands, shares, grades and every pot', async () => {
    const { houses } = await viewOf<BedsView>(desk, 'beds');
    const mixed = houses
      .flatMap((house) => house.beds)
      .find((bed) => bed.spans.length > 1 && bed.score?.too_few_pots === false)!;
    await turnsTo(desk, '/beds');
    await desk.page.locator(`.beds a[href="/beds/${mixed.id}"]`).click();
    await desk.page.getByRole('heading', { level: 1, name: mixed.name }).waitFor();
    for (const span of mixed.spans) await desk.sees(`${span.tag} ${span.cultivar}`);
    for (const part of [
      'How even',
      'What the walk shows',
      'Head size',
      'Bud count',
      'Roots and leaves',
      'Will it make grade?',
    ]) {
      await desk.page.getByRole('heading', { level: 2, name: part }).waitFor();
    }
    const pots = desk.page.getByRole('region', { name: 'Every pot' }).locator('tbody tr');
    expect(await pots.count()).toBeGreaterThanOrEqual(mixed.score!.seen);
    expect(await desk.page.evaluate(() => document.activeElement?.tagName)).toBe('H1');
  });

  test('goes back to an earlier walk of the bed, and the address keeps it', async () => {
    const { houses } = await viewOf<BedsView>(desk, 'beds');
    const walked = houses.flatMap((house) => house.beds).find((bed) => bed.trend.length > 3)!;
    const earlier = walked.trend[1]!;
    await turnsTo(desk, `/beds/${walked.id}`);
    await walkOf(desk).selectOption(earlier.walk);
    await desk.page.locator('.trend .chosen, .plot .chosen').first().waitFor();
    expect(desk.page.url()).toContain(`walk=${earlier.walk}`);
    await shows(desk, new URL(desk.page.url()).pathname + new URL(desk.page.url()).search);
    expect(await walkOf(desk).inputValue()).toBe(earlier.walk);
  });

  test('takes the observations of a bed home as CSV', async () => {
    const { houses } = await viewOf<BedsView>(desk, 'beds');
    const walked = houses[0]!.beds.find((bed) => bed.score)!;
    await turnsTo(desk, `/beds/${walked.id}`);
    const [download] = await Promise.all([
      desk.page.waitForEvent('download'),
      desk.page.getByRole('link', { name: 'Download as CSV' }).click(),
    ]);
    const [head = '', ...rows] = readFileSync(await download.path(), 'utf8')
      .trim()
      .split(/\r?\n/);
    expect(head).toContain('head_a_mm');
    expect(rows.length).toBeGreaterThanOrEqual(walked.score!.seen);
  });

  test('opens a lot’s merged record from the list: life line, ledger, history', async () => {
    const lots = await lotsOf(desk);
    const lot = lots.find((each) => each.beds.length > 0 && each.uniformity.known)!;
    await turnsTo(desk, '/lots');
    await desk.page.getByLabel('Tag or cultivar').fill(lot.tag);
    await desk.page.getByRole('link', { name: lot.tag, exact: true }).click();
    await desk.page.getByRole('heading', { level: 1, name: `Lot ${lot.tag}, ${lot.cultivar}` }).waitFor();
    await desk.page.getByRole('img', { name: /^Timeline with/ }).waitFor();
    const history = desk.page.getByRole('region', { name: 'Who noted what, and when' });
    const lines = (await viewOf<LotView>(desk, `lots/${lot.id}`)).history.lines;
    expect(await history.locator('tbody tr').count()).toBe(lines.length);
    const walk = lines.find((line) => line.walk)!.walk!;
    const first = history.locator('details').first();
    await first.locator('summary').click();
    await expect.poll(() => first.locator('li').count()).toBe(walk.pots);
    for (const link of await desk.page.getByRole('navigation', { name: 'On this page' }).getByRole('link').all())
      expect(await desk.page.locator((await link.getAttribute('href'))!).count()).toBe(1);
  });

  test('settles a disagreement with one tap, and another desk sees it without a reload', async () => {
    const lots = await lotsOf(desk);
    const lot = lots.find((each) => each.disagree > 0)!;
    const other = await nursery.viewer('supervisor', 'desk');
    await shows(other, `/lots/${lot.id}`);
    const open = other.page.getByRole('heading', { level: 2, name: 'To settle' });
    await open.waitFor();
    await other.page.evaluate(() => Object.assign(globalThis, { sameDocument: true }));
    await turnsTo(desk, `/lots/${lot.id}`);
    const mine = desk.page.getByRole('heading', { level: 2, name: 'To settle' });
    await desk.taps(/^Keep /);
    await mine.waitFor({ state: 'detached' });
    await desk.taps('Undo');
    await mine.waitFor();
    await desk.taps(/^Keep /);
    // What the other desk sees may be the first choice, with the undoing on its way.
    const settled = async () => (await lotsOf(desk)).find((each) => each.id === lot.id)?.disagree;
    await until(desk, (now) => now.waiting === 0);
    await expect.poll(settled).toBe(lot.disagree - 1);
    await open.waitFor({ state: 'detached', timeout: 120_000 });
    expect(await other.page.evaluate(() => 'sameDocument' in globalThis)).toBe(true);
    await other.ends();
  });

  test('asks for a blind second look, which then stands among the rounds', async () => {
    const { houses } = await viewOf<BedsView>(desk, 'beds');
    const walked = houses[0]!.beds.find((bed) => bed.score)!;
    const rounds = async () => (await viewOf<{ rounds: { bed: string }[] }>(desk, 'scouts')).rounds.length;
    const before = await rounds();
    await turnsTo(desk, `/beds/${walked.id}`);
    await desk.taps('Blind second look');
    await desk.taps('Ask for a second look');
    await desk.sees(/^Requested/);
    await expect.poll(rounds, { timeout: 120_000 }).toBe(before + 1);
  });

  test('reads the scouts page on a phone whole: four tabs at the foot and every page behind the last, every column of its tables in sight', async () => {
    await desk.page.setViewportSize({ width: 390, height: 844 });
    for (const language of ['es', 'en'] as const) {
      await choosesLanguage(desk, language);
      await turnsTo(desk, '/scouts');
      const tabs = await desk.page.locator('.tabfoot > :is(a, button)').evaluateAll((all) =>
        all.map((each) => {
          const { top, height } = each.getBoundingClientRect();
          return [top, height >= 48, each.scrollWidth <= each.clientWidth];
        }),
      );
      expect([language, new Set(tabs.map(String)).size, tabs.length]).toEqual([language, 1, 4]);
      expect([language, tabs[0]?.slice(1)]).toEqual([language, [true, true]]);
      await desk.page.locator('.tabfoot > button').click();
      expect(await desk.page.locator('.morepages a').count()).toBe(9);
      await desk.page.keyboard.press('Escape');
      const tables = await desk.page
        .locator('.table')
        .evaluateAll((all) => all.map(({ scrollWidth, clientWidth }) => scrollWidth <= clientWidth));
      expect([language, tables]).toEqual([language, [true, true]]);
      await desk.picture(`scouts-phone-${language}`);
      expect(await desk.accessibilityFaults(language === 'en' ? 'state' : 'names')).toEqual([]);
    }
    // Stacked, it is a table still to who cannot see it: a row is named by its pair, a cell by its column.
    const table = desk.page.getByRole('table', { name: 'Blind second looks, two scouts at a time' });
    expect(await table.getByRole('columnheader').count()).toBe(8);
    expect(await table.getByRole('row').nth(1).getByRole('cell').count()).toBe(7);
    await desk.page.setViewportSize({ width: 1440, height: 900 });
  });

  test('pairs another phone by the code shown, and finds it in the list', async () => {
    await turnsTo(desk, '/phones');
    await desk.page.getByLabel('Who').selectOption('');
    await desk.page.getByLabel(/Person’s name/).fill('Ilse Marr');
    await desk.taps('Make a code');
    const link = (await desk.page.locator('.made p').filter({ hasText: 'http' }).innerText()).match(/https?:\S+/)![0];
    const phone = await nursery.strangePhone();
    await phone.page.context().route('**/api/pull?*', (route) => route.abort());
    await phone.pairs(new URL(new URL(link).pathname, nursery.server.url).href);
    await shows(desk, '/phones');
    await desk.sees(/Ilse Marr, scout/);
    await phone.ends();
  });

  test('still sees the last view when the server is gone, with its date', async () => {
    await shows(desk, '/beds');
    await desk.isReadyForTheField();
    await desk.goesOutOfRange();
    await shows(desk, '/beds');
    await desk.sees(/The server cannot be reached\. Last updated/);
    expect(await desk.page.locator('.bedtile').count()).toBeGreaterThan(30);
    await desk.comesIntoRange();
    await desk.page.locator('.stale').waitFor({ state: 'detached' });
  });
});

function walkOf(at: Device) {
  return at.page.getByRole('combobox', { name: 'Walk' });
}

async function onAPhone(language: Language): Promise<void> {
  await desk.page.setViewportSize({ width: 390, height: 844 });
  await choosesLanguage(desk, language);
}

/** Opens the app by settings of a theme and a language, and looks whether it follows them. */
async function speaks(language: Language): Promise<void> {
  const chosen = { theme: 'dark', language };
  await desk.page.evaluate((all) => localStorage.setItem('bedwalk-settings', JSON.stringify(all)), chosen);
  await shows(desk, '/beds');
  const [theme, spoken] = await desk.page.evaluate(() => [
    document.documentElement.dataset['theme'],
    document.documentElement.lang,
  ]);
  expect({ theme, language: spoken }).toEqual(chosen);
}

async function atADesk(): Promise<void> {
  await desk.page.evaluate(() => localStorage.removeItem('bedwalk-settings'));
  await desk.page.setViewportSize({ width: 1440, height: 900 });
}

/** All pages but those of the crops, which wait for the whole nursery to be on the device; crops.e2e.ts looks at them. */
async function drawnByTheServer(at: Device): Promise<{ name: string; path: string }[]> {
  return (await supervisorPages(at)).filter(({ path }) => !path.startsWith('/crops'));
}

describe('every page', () => {
  test('is without fault for axe in English; in every theme its words have 7:1 and its marks 3:1', async () => {
    await speaks('en');
    const faults: string[] = [];
    for (const { name, path } of await drawnByTheServer(desk)) {
      await turnsTo(desk, path);
      await wears(desk, 'plain');
      faults.push(...(await desk.accessibilityFaults('all')).map((fault) => `${name}: ${fault}`));
      await desk.picture(`${name}-desk`);
      for (const theme of ['plain', 'sun', 'dark']) {
        await wears(desk, theme);
        faults.push(...(await contrastFaults(desk)).map((fault) => `${name}, ${theme}: ${fault}`));
      }
    }
    await atADesk();
    expect(faults).toEqual([]);
  });

  // Rules about structure and colours are the same in both languages, and were looked at in English.
  test('in Spanish has a name for all that axe asks one of, and words of 7:1', async () => {
    await speaks('es');
    const faults: string[] = [];
    for (const { name, path } of await drawnByTheServer(desk)) {
      await turnsTo(desk, path);
      const found = [...(await desk.accessibilityFaults('names')), ...(await contrastFaults(desk))];
      faults.push(...found.map((fault) => `${name}: ${fault}`));
    }
    await atADesk();
    expect(faults).toEqual([]);
  });

  test('fits screens of 320, 390 and 768 px without sideways scrolling; on a phone, buttons, fields and links are big enough for a finger, but for links within text and tables', async () => {
    await shows(desk, '/beds');
    const small: string[] = [];
    for (const { name, path } of await drawnByTheServer(desk)) {
      await turnsTo(desk, path);
      for (const width of [320, 390, 768]) {
        await desk.page.setViewportSize({ width, height: 844 });
        // What measures itself is drawn once more.
        await desk.page.evaluate(
          () => new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn))),
        );
        const over = () => desk.page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
        await expect.poll(over, { message: `${name} at ${width} px is too wide by so many px` }).toBeLessThanOrEqual(0);
        if (width !== 390) continue;
        await desk.picture(`${name}-phone`);
        small.push(...(await smallTargets(desk)).map((each) => `${name}: ${each}`));
      }
    }
    await desk.page.setViewportSize({ width: 1440, height: 900 });
    expect(small).toEqual([]);
  });

  test.each(['en', 'es'] as const)('cuts nothing off on a phone where rows are stacked, in %s', async (language) => {
    await onAPhone(language);
    const { houses } = await viewOf<BedsView>(desk, 'beds');
    const mixed = houses
      .flatMap(({ beds }) => beds)
      .find((bed) => bed.spans.length > 1 && bed.score && !bed.score.too_few_pots)!;
    for (const path of ['/lots', `/beds/${mixed.id}`]) {
      await turnsTo(desk, path);
      const wide = (await shapeFaults(desk, anywhere)).filter((fault) => /cut off|too wide/.test(fault));
      expect([path, wide]).toEqual([path, []]);
      const slides = await desk.page
        .locator('.stacks')
        .evaluateAll((all) => all.map((each) => each.scrollWidth > each.clientWidth));
      expect(slides.length, path).toBeGreaterThan(0);
      expect([path, slides.filter(Boolean)]).toEqual([path, []]);
      const cells = desk.page.locator('.stacks tbody :is(th, td)');
      expect(await cells.count()).toBeGreaterThan(mixed.spans.length * 10);
      const outside = await cells.evaluateAll((all) =>
        all
          .filter((cell) => cell.checkVisibility())
          .filter((cell) => {
            const { left, right } = cell.getBoundingClientRect();
            return left < 0 || right > innerWidth || cell.scrollWidth > cell.clientWidth + 1;
          })
          .map((cell) => cell.textContent),
      );
      expect([path, outside]).toEqual([path, []]);
      expect([path, await desk.accessibilityFaults(language === 'en' ? 'state' : 'names')]).toEqual([path, []]);
      for (const theme of ['plain', 'dark']) {
        await wears(desk, theme);
        expect([path, theme, await contrastFaults(desk)]).toEqual([path, theme, []]);
      }
    }
    await atADesk();
  });

  test.each(['en', 'es'] as const)(
    'tells who wrote what of a lot on a phone in full lines, in %s',
    async (language) => {
      await onAPhone(language);
      const lot = (await lotsOf(desk)).toSorted((a, b) => b.pots - a.pots)[0]!;
      await turnsTo(desk, `/lots/${lot.id}`);
      const rows = desk.page.locator('.compact tbody tr');
      const boxes = await rows.evaluateAll((all) =>
        all.map((row) => {
          const long = row.querySelector('.long')!.getBoundingClientRect();
          const head = row.querySelector('.heads')!.getBoundingClientRect();
          return {
            below: long.top >= head.bottom - 1,
            wide: long.width > 340,
            high: row.getBoundingClientRect().height,
          };
        }),
      );
      expect(boxes.length).toBeGreaterThan(20);
      expect(boxes.filter(({ below, wide }) => !below || !wide)).toEqual([]);
      // When and who, at most four lines of what, the phone.
      expect(boxes.reduce((sum, { high }) => sum + high, 0) / boxes.length).toBeLessThan(190);
      const table = desk.page.locator('.compact').getByRole('table');
      expect(await table.getByRole('columnheader').count()).toBe(4);
      await desk.picture(`lot-history-${language}`);
      expect(await desk.accessibilityFaults(language === 'en' ? 'state' : 'names')).toEqual([]);
      await atADesk();
    },
  );

  test('lists a lot on a phone by what is asked of it there, and sorts the list', async () => {
    await onAPhone('en');
    const lots = await lotsOf(desk);
    await turnsTo(desk, '/lots');
    const table = desk.page.getByRole('table', { name: 'Lots' });
    await desk.page.getByLabel('also those with no pots left').check();
    await expect.poll(() => table.getByRole('row').count(), { timeout: 120_000 }).toBe(lots.length + 1);
    const lot = lots.find((each) => each.beds.length > 0 && each.uniformity.known && each.ship_week)!;
    const row = table.getByRole('row').filter({ has: desk.page.locator(`a[href="/lots/${lot.id}"]`) });
    expect(await row.getByRole('link').innerText()).toBe(`${lot.tag} ${lot.cultivar}`);
    const shown = await row.locator('td:visible').evaluateAll((all) => all.map((cell) => cell.dataset['title']));
    expect(shown).toEqual(['Beds', 'Pots', 'Uniformity', 'Ship', ...(lot.disagree > 0 ? ['To settle'] : [])]);
    await desk.page.getByLabel('Sort by').selectOption('Pots');
    await desk.page.getByRole('button', { name: 'Reverse order' }).click();
    const most = lots.toSorted((a, b) => b.pots - a.pots)[0]!.tag;
    expect(await table.getByRole('row').nth(1).innerText()).toContain(most);
    await atADesk();
  });

  test.each(['en', 'es'] as const)(
    'keeps the place of every pot in view while the rest slides, in %s',
    async (language) => {
      await onAPhone(language);
      const { houses } = await viewOf<BedsView>(desk, 'beds');
      const walked = houses.flatMap(({ beds }) => beds).find((bed) => bed.score)!;
      await turnsTo(desk, `/beds/${walked.id}`);
      const table = desk.page.locator('.section .table').last();
      const hint = language === 'en' ? 'More to the right: swipe the table' : 'Hay más a la derecha: deslice la tabla';
      await desk.page.getByText(hint).last().waitFor();
      const left = () =>
        table.locator('.heads').evaluateAll((all) => all.map((cell) => Math.round(cell.getBoundingClientRect().left)));
      const before = await left();
      await table.evaluate((element) => (element.scrollLeft = 400));
      expect(await table.evaluate((element) => element.scrollLeft)).toBeGreaterThan(300);
      expect(await left()).toEqual(before);
      await atADesk();
      await turnsTo(desk, `/beds/${walked.id}`);
      expect(await desk.page.getByText(/swipe the table|deslice la tabla/).count()).toBe(0);
    },
  );
});
