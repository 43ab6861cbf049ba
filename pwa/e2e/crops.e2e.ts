/** How a crop is judged, from the desk where it is set to the pages that follow it. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { BedView } from '../../schema/types.ts';
import type { Device, Nursery } from './harness.ts';
import { shows, turnsTo, viewOf } from './pages.ts';
import { contrastFaults, smallTargets } from './rendered.ts';
import { BED_1, openSmallNursery, walkOfFirstBed } from './small.ts';
import { hasEverything, until } from './walking.ts';

let nursery: Nursery;
let desk: Device;

/** Heads in mm, wide apart: with 10 % either way fewer count as even than with 20 %. */
const heads = [230, 245, 255, 265, 275, 285, 295, 310, 330, 350];
const pots = heads.map((mm, i) => ({
  head_a_mm: mm,
  head_b_mm: mm,
  buds: 40 + i,
  root_cover: 4,
  root_life: 4,
  chlorosis: 'none' as const,
}));

beforeAll(async () => {
  nursery = await openSmallNursery(walkOfFirstBed(pots));
  desk = await nursery.desk('supervisor');
  await shows(desk, '/beds');
  await hasEverything(desk);
});
afterAll(() => nursery.close());

const field = (name: string) => desk.page.getByRole('textbox', { name, exact: true });
const plain = (text: string) => text.replace(/\s+/g, ' ');
const said = async (selector: string) => plain(await desk.page.locator(selector).innerText());

test('a crop that nobody has set up is judged by common practice, and says so', async () => {
  await shows(desk, '/crops');
  const card = await said('.cropcard');
  expect(card).toContain('azalea');
  expect(card).toMatch(/2 lots, pots of 15 cm\. Nothing is set here yet/);
  expect(card).toMatch(/Head tolerance ± 10 % common practice/);
  expect(card).toContain('No grades are set');
  await desk.picture('crops-fresh-desk');
});

test('the bed’s page leads to where its grades are set', async () => {
  await turnsTo(desk, `/beds/${BED_1}`);
  await desk.page.getByRole('link', { name: 'Set grades for azalea' }).click();
  await desk.page.getByRole('heading', { level: 1, name: 'azalea' }).waitFor();
  await desk.sees('Now ± 10 %: common practice, no source. Change it to suit you.');
});

test('a number out of its limits is reported at its field as it is typed, and is not saved', async () => {
  const head = field('± Head tolerance');
  await head.fill('60');
  await desk.sees('Head tolerance: 60 is not between 1 and 50 %. Check the number and its unit.');
  expect(await head.getAttribute('aria-invalid')).toBe('true');
  await field('Minimum pots per walk').fill('61');
  await desk.sees('Minimum pots per walk: higher than “Maximum pots per walk” (60 pots). Enter at most 60 pots');
  await desk.taps('Save');
  await desk.page.locator('.problems').getByText('Head tolerance: 60').waitFor();
  await desk.page.waitForFunction(() => document.activeElement?.className === 'problems');
  await desk.picture('crop-wrong-desk');
});

test('what was typed is still there after leaving the page, and after the app was closed', async () => {
  await turnsTo(desk, '/lots');
  await turnsTo(desk, '/crops/azalea');
  const tolerance = () => field('± Head tolerance').inputValue();
  await expect.poll(tolerance).toBe('60');
  await desk.isSwitchedOffAndOn('/crops/azalea');
  await expect.poll(tolerance).toBe('60');
  await desk.taps('Discard');
  await desk.sees('Changes discarded.');
  await expect.poll(tolerance).toBe('');
});

test('grades are set from the top down, and the pots already seen are graded as they are typed', async () => {
  await desk.taps('Add a grade for the 15 cm pot');
  await desk.page.locator('.gradelist [aria-invalid="true"]').waitFor();
  await desk.sees('Name is missing. Fill it in.');
  await field('Name').fill('second');
  await seenAs({ second: 10, 'no grade': 0 });
  await desk.taps('Add a grade for the 15 cm pot');
  const lower = desk.page.locator('.gradelist ol > li').nth(1);
  await lower.getByLabel('Name').fill('first');
  await lower.getByLabel('Head, from').fill('28');
  await lower.getByLabel('Root cover, at least').selectOption({ label: '60\u202f%' });
  // It stands below a grade that asks nothing, so no pot comes as far as this one.
  await seenAs({ second: 10, first: 0, 'no grade': 0 });
  await desk.taps('Move first up');
  await seenAs({ first: 5, second: 5, 'no grade': 0 });
  // Two drawings after the move, so it may not be there yet.
  await desk.page.waitForFunction(() => document.activeElement?.getAttribute('aria-label') === 'Move first down');
  await lower.getByLabel('Buds, at least').fill('43');
  await seenAs({ first: 5, second: 2, 'no grade': 3 });
  await desk.picture('crop-grades-desk');
});

test('a grade that is taken out comes back where it was', async () => {
  await desk.taps('Remove first');
  await seenAs({ second: 7, 'no grade': 3 });
  await desk.taps('Undo');
  await seenAs({ first: 5, second: 2, 'no grade': 3 });
});

test('saved, the bed’s grade-out and its uniformity follow', async () => {
  const before = await viewOf<BedView>(desk, `beds/${BED_1}`);
  await field('± Head tolerance').fill('20');
  await desk.sees('2 changes not saved');
  await desk.taps('Save');
  await desk.sees(/^azalea: saved/);
  await desk.sees('Now ± 20 %, set here.');
  await until(desk, (now) => now.waiting === 0);
  const after = await viewOf<BedView>(desk, `beds/${BED_1}`);
  expect(before.bed.score!.lots[0]!.grade_out ?? null).toBe(null);
  const out = after.bed.score!.lots[0]!.grade_out!;
  expect(out.grades.map(({ name, seen }) => [name, seen])).toEqual([
    ['first', 5],
    ['second', 2],
    ['', 3],
  ]);
  const head = (view: BedView) => view.bed.score!.traits.find((trait) => trait.trait === 'head')!.uniformity.value;
  expect(head(after)).toBeGreaterThan(head(before));
  await turnsTo(desk, `/beds/${BED_1}`);
  await desk.sees(/The band is the lot’s mean ± 20\s%/);
  // Beside what may be promised, which is a table of its own.
  const graded = plain(await desk.page.getByRole('table', { name: /^From 10 pots fully checked, / }).innerText());
  expect(graded).toMatch(/first 5 .*second 2 .*no grade 3/);
});

test('what two people set apart stands side by side, and is settled with one tap', async () => {
  const other = await nursery.desk('supervisor');
  await shows(other, '/beds');
  await hasEverything(other);
  await turnsTo(other, '/crops/azalea');
  await turnsTo(desk, '/crops/azalea');
  await other.goesOutOfRange();
  for (const [at, days] of [
    [other, '5'],
    [desk, '9'],
  ] as const) {
    await at.page.getByRole('textbox', { name: 'Days between walks' }).fill(days);
    await at.taps('Save');
    await at.sees(/^azalea: saved/);
  }
  await until(desk, (now) => now.waiting === 0);
  await other.comesIntoRange();
  await until(other, (now) => now.waiting === 0);
  const settle = desk.page.locator('.settle');
  await settle.getByText('Days between walks').waitFor();
  await desk.picture('crop-settle-desk');
  await desk.taps('Keep 5 days');
  await settle.waitFor({ state: 'detached' });
  await desk.sees(/Now 5 days, set here/);
  await other.sees(/Now 5 days, set here/);
});

test('in Spanish, in inches and on a phone’s width it reads as well, without fault for axe, with words of 7:1 in every theme', async () => {
  await desk.page.setViewportSize({ width: 390, height: 844 });
  const faults: string[] = [];
  for (const [theme, language, length] of [
    ['plain', 'es', 'cm'],
    ['sun', 'en', 'in'],
    ['dark', 'es', 'in'],
  ]) {
    const units = { length, temperature: 'C', volume: 'L' };
    const chosen = { theme, language, units };
    await desk.page.evaluate((all) => localStorage.setItem('bedwalk-settings', JSON.stringify(all)), chosen);
    for (const [name, path] of [
      ['crops', '/crops'],
      ['crop', '/crops/azalea'],
    ] as const) {
      await shows(desk, path);
      await desk.page.waitForFunction((now) => document.documentElement.lang === now, language!);
      if (name === 'crop') {
        await desk.page.locator('.gradelist').waitFor();
        await desk.page.getByRole('button', { name: language === 'es' ? 'Cambiar first' : 'Change first' }).click();
      }
      const found = [
        ...(theme === 'plain' ? await desk.accessibilityFaults('all') : []),
        ...(await contrastFaults(desk)),
      ];
      faults.push(...found.map((fault) => `${name} ${theme}: ${fault}`));
      const over = await desk.page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      expect([name, theme, over]).toEqual([name, theme, 0]);
      expect([name, theme, await smallTargets(desk)]).toEqual([name, theme, []]);
      await desk.picture(`${name}-${language}-${theme}-phone`);
    }
  }
  expect(faults).toEqual([]);
  await desk.page.setViewportSize({ width: 1440, height: 900 });
  await desk.sees('Ahora ± 20 %, puesto aquí.');
  await field('± Tolerancia de botones').fill('abc');
  await desk.sees(/Tolerancia de botones: escriba solo cifras y un punto decimal/);
  await desk.taps('Descartar');
});

test('a size shown in inches is not rounded by whoever changes another line', async () => {
  const first = desk.page.locator('.gradelist ol > li').nth(0);
  expect(await first.getByLabel('Copa, desde').inputValue()).toBe('11');
  await first.getByLabel('Botones, al menos').fill('42');
  await desk.taps('Guardar');
  await desk.sees(/^azalea: guardado/);
  await until(desk, (now) => now.waiting === 0);
  await desk.page.evaluate(() => localStorage.removeItem('bedwalk-settings'));
  await shows(desk, '/crops/azalea');
  await desk.taps('Change first');
  // 280 mm are 11.02 inches; read back from "11" they would be 279.
  expect(await desk.page.getByLabel('Head, from').inputValue()).toBe('28');
  expect(await desk.page.getByLabel('Buds, at least').inputValue()).toBe('42');
});

async function seenAs(wanted: Record<string, number>): Promise<void> {
  const rows = desk.page.locator('.seen tbody tr');
  const now = async () => {
    const cells = await rows.evaluateAll((all) =>
      all.map((row) => [row.children[0]?.textContent, Number(row.children[1]?.textContent)]),
    );
    return Object.fromEntries(cells) as Record<string, number>;
  };
  await expect.poll(now).toEqual(wanted);
}
