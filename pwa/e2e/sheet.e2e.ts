import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { BedsView } from '../../schema/types.ts';
import { openNursery, type Device, type Nursery } from './harness.ts';
import { viewOf } from './pages.ts';
import { hasEverything } from './walking.ts';

let nursery: Nursery;
let owner: Device;

beforeAll(async () => {
  nursery = await openNursery();
  owner = await nursery.desk('owner');
});

afterAll(async () => nursery.close());

/** Copied out of a spreadsheet, as cells come: with tabs. The last two rows have faults. */
const cells = [
  'House,Bed,Length (m),Width (m),Rows,Pots across,Entry end,Lot,Crop,Cultivar,Pot size (cm),Pots,First row,Last row,Potted',
  'Heron,H1,20,1.5,60,10,door,AZ-101,azalea,Ember Lace,15,600,,,2026-04-10',
  'Heron,H2,24,1.5,72,10,door,AZ-102,azalea,Dusk Ferry,15,360,1,36,2026-04-12',
  'Heron,H2,,,,,,HY-201,hydrangea,Pale Lantern,15,300,37,72,2026-05-02',
  'Sedge,S1,18,1.2,54,8,gate,,,,,,,,',
  'Sedge,S2,900,1.2,54,8,gate,,,,,,,,',
  'Heron,H1,,,,,,AZ-103,azalea,Ember Lace,15,200,,,2026-04-10',
].map((row) => row.replaceAll(',', '\t'));

describe('the owner of a new nursery', () => {
  test('finds the way from the empty plan to the sheet', async () => {
    await owner.opens('/beds');
    await owner.sees('No beds yet');
    await owner.picture('beds-empty-desk');
    expect(await owner.accessibilityFaults('all')).toEqual([]);
    await owner.page.getByRole('link', { name: 'Name the nursery' }).click();
    await owner.page.getByLabel('The nursery’s name').fill('Quillfen');
    await owner.page.getByLabel('Your name').fill('Orla Venn');
    await owner.taps('Save name and time zone');
    await owner.sees('Saved.');
    expect(await owner.page.locator('.head .site').textContent()).toBe('Quillfen');
  });

  test('adds twelve beds at once, undoes that as one, and finds the nursery as it was', async () => {
    const fields = {
      'House, or several': 'Wren, Rail',
      'Beds in each house': '12',
      'Name of the first bed': 'W1',
      'Rows along a bed': '420',
      'Pots across': '6',
      'Length of a bed': '42',
      'Width of a bed': '1.2',
    };
    for (const [label, typed] of Object.entries(fields)) await owner.page.getByLabel(label).fill(typed);
    await owner.sees('Each bed: 420 rows of 6, 2,520 places');
    expect((await viewOf<BedsView>(owner, 'beds')).houses).toEqual([]);
    await owner.picture('setup-beds-desk');
    expect(await owner.accessibilityFaults('all')).toEqual([]);
    await owner.taps('Add 24 beds');
    await owner.page.locator('.one-house').nth(1).waitFor();
    await owner.page.getByRole('link', { name: 'Bring in', exact: true }).click();
    await owner.sees('Many beds: Added 2 houses with 24 beds.');
    await owner.taps('Undo this import');
    await owner.sees('Struck out everything that it added.');
    await owner.page.getByText('Many beds: Added').waitFor({ state: 'detached' });
    await hasEverything(owner);
    expect((await viewOf<BedsView>(owner, 'beds')).houses).toEqual([]);
  });

  test('sees before anything is written what each row adds and what is wrong with two of them', async () => {
    await owner.page.getByLabel('Or copy the cells').fill(cells.join('\n'));
    await owner.sees('New: 2 houses, 3 beds, 3 lots with 1,260 pots.');
    await owner.sees('2 rows have mistakes.');
    await owner.sees('length: 900 m is not between 0.50 m and 200 m');
    await owner.sees('Rows 1 to 60 belong to lot AZ-101.');
    await owner.picture('sheet-in-desk');
    expect(await owner.accessibilityFaults('all')).toEqual([]);
    expect((await viewOf<BedsView>(owner, 'beds')).houses).toEqual([]);
  });

  test('goes to look at something else and finds the sheet as it was', async () => {
    await owner.page.getByRole('link', { name: 'Lots', exact: true }).click();
    await owner.page.getByRole('heading', { level: 1, name: 'Lots' }).waitFor();
    await owner.page.goBack();
    await owner.sees('2 rows have mistakes.');
    await owner.page.reload();
    await owner.sees('2 rows have mistakes.');
  });

  test('puts the good rows in, and has the houses drawn and every note merged', async () => {
    expect(await owner.page.getByRole('button', { name: 'Add them' }).isDisabled()).toBe(true);
    await owner.page.getByLabel('Leave these 2 rows out').check();
    await owner.taps('Add them');
    await owner.page.waitForURL('**/beds?part=plan');
    await owner.page.locator('.house .bedline').nth(2).waitFor();
    const drawn = await owner.page.locator('.house').evaluateAll((each) =>
      each.map((house) => ({
        name: house.querySelector('h2')?.textContent,
        strips: [...house.querySelectorAll('.bedtile')].map((strip) => ({
          bed: strip.querySelector('.name')?.textContent,
          wide: strip.getBoundingClientRect().width,
          cuts: strip.querySelectorAll('.cut').length,
        })),
      })),
    );
    expect(drawn.map(({ name, strips }) => [name, strips.map(({ bed, cuts }) => [bed, cuts])])).toEqual([
      [
        'Heron',
        [
          ['H1', 0],
          // Its two lots meet at one line.
          ['H2', 1],
        ],
      ],
      ['Sedge', [['S1', 0]]],
    ]);
    const [h1, h2, s1] = drawn.flatMap(({ strips }) => strips.map(({ wide }) => wide));
    // As long as in the sheet: 20 m and 18 m beside 24 m.
    expect(h1! / h2!).toBeCloseTo(20 / 24, 2);
    expect(s1! / h2!).toBeCloseTo(18 / 24, 2);
    await owner.picture('beds-new-desk');
    const { houses, phones } = await viewOf<BedsView>(owner, 'beds');
    expect(phones.quarantined).toBe(0);
    expect(houses.map(({ name, beds }) => [name, beds.map((bed) => bed.name)])).toEqual([
      ['Heron', ['H1', 'H2']],
      ['Sedge', ['S1']],
    ]);
    const [, mixed] = houses[0]!.beds;
    expect(mixed?.spans.map(({ tag, from_row, to_row, pots }) => [tag, from_row, to_row, pots])).toEqual([
      ['AZ-102', 1, 36, 360],
      ['HY-201', 37, 72, 300],
    ]);
  });

  test('retires a bed, a house and a person by the keyboard alone, brings them back, and stands where the work goes on', async () => {
    const { page } = owner;
    const focused = () => page.evaluate(() => document.activeElement?.textContent?.trim());
    const presses = async (name: string, then: RegExp) => {
      await page.getByRole('button', { name, exact: true }).focus();
      await page.keyboard.press('Enter');
      await expect.poll(focused, { timeout: 10_000 }).toMatch(then);
    };
    await page.getByRole('link', { name: 'Set up', exact: true }).click();
    await page.locator('.one-house').nth(1).waitFor();
    // Nothing else is left in the house to go on with.
    await presses('Retire S1', /Sedge/);
    await presses('Use S1 again', /^S1$/);
    await presses('Retire S1', /Sedge/);
    await presses('Retire Sedge', /Heron/);
    await presses('Use Sedge again', /Sedge/);
    await presses('Use S1 again', /^S1$/);
    await page.getByRole('link', { name: 'People', exact: true }).click();
    await page.getByLabel('Names, one a line').fill('Ash\nWren');
    await owner.taps('Add 2 people');
    await presses('Ash no longer works here', /^Pair a phone$/);
    await presses('Ash works here again', /^Pair a phone$/);
    expect(await page.evaluate(() => document.activeElement?.getAttribute('aria-label'))).toBe('Pair a phone for Ash');
    await hasEverything(owner);
  });

  test('has a scout walk one of the new beds at once', async () => {
    const scout = await nursery.phoneInRange('scout');
    await scout.sees('H1');
    await scout.page.getByText('H1', { exact: false }).first().click();
    await scout.taps('Start walk');
    await scout.page.waitForURL('**/walk/**');
  });

  test('does the same in Spanish on a phone', async () => {
    const phone = await nursery.phoneInRange('owner');
    await phone.page.evaluate(() =>
      localStorage.setItem('bedwalk-settings', JSON.stringify({ language: 'es', theme: 'dark' })),
    );
    await phone.opens('/in');
    await phone.page
      .getByLabel('O copie las celdas')
      .fill('Casa;Cama;Largo (m);Ancho (m);Hileras;Macetas a lo ancho\nGarza;G1;20,5;1,5;60;10\nGarza;G2;20,5;1,5;;10');
    await phone.sees('Falta: hileras. Complételo.');
    await phone.picture('sheet-in-phone-es');
    expect(await phone.accessibilityFaults('all')).toEqual([]);
    await phone.page.getByLabel('Dejar fuera esta fila').check();
    await phone.taps('Agregar');
    await phone.page.waitForURL('**/beds?part=plan');
    await phone.page.locator('.foldline').filter({ hasText: 'Garza' }).tap();
    await phone.page.locator('.bedtile').filter({ hasText: 'G1' }).waitFor();
  });
});
