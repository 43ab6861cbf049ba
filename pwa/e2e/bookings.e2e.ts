/** What a lot may be promised, what is booked of it, and what is known of it: entered and changed on its page. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { LotView } from '../../schema/types.ts';
import type { Device, Nursery } from './harness.ts';
import { shows, viewOf } from './pages.ts';
import { BED_1, LOT_1, openSmallNursery, walkOfFirstBed } from './small.ts';
import { hasEverything } from './walking.ts';

let nursery: Nursery;
let desk: Device;

/** Eight florist pots, two nursery ones; two more whose pale leaves nobody gave a degree. */
const pots = [300, 300, 310, 320, 300, 305, 310, 300, 220, 230, 300, 300].map((mm, i) => ({
  head_a_mm: mm,
  head_b_mm: mm,
  buds: 40,
  chlorosis: i < 10 ? ('none' as const) : ('old' as const),
}));
const grades = [
  { name: 'florist', pot_mm: 150, head_min_mm: 280, chlorosis_max: 1 },
  { name: 'nursery', pot_mm: 150, head_min_mm: 200, chlorosis_max: 2 },
];

beforeAll(async () => {
  nursery = await openSmallNursery([
    ...walkOfFirstBed(pots),
    ['profile', { of: '7'.repeat(32), crop: 'azalea', grades, expected_loss_bp: 0 }],
  ]);
  desk = await nursery.desk('supervisor');
  await shows(desk, `/lots/${LOT_1}`);
  await hasEverything(desk);
});
afterAll(() => nursery.close());

const lot = () => viewOf<LotView>(desk, `lots/${LOT_1}`);
const box = (name: string) => desk.page.getByRole('dialog').getByLabel(name, { exact: true });
const typedPots = () => desk.page.getByRole('dialog').getByRole('textbox', { name: 'Pots' });
const table = () => desk.page.getByRole('region', { name: 'Bookings', exact: true });
/** The page draws the server's numbers once it has what was written here. */
async function counts(what: (view: LotView) => boolean): Promise<void> {
  while (!what(await lot())) await new Promise((done) => setTimeout(done, 100));
}

async function books(buyer: string, grade: string, count: string): Promise<void> {
  await desk.taps('Enter a booking');
  await box('Buyer').fill(buyer);
  await typedPots().fill(count);
  await box('Grade').selectOption(grade);
  await desk.taps('Save the booking');
  await desk.page.getByRole('dialog').waitFor({ state: 'detached' });
}

test('says how many pots are undecided, what would decide them, and that no ship week is set', async () => {
  await desk.sees('2 pots undecided: left out of the forecast, and not counted toward any promise.');
  await desk.sees('To decide them, check how pale the leaves are (2 pots).');
  await desk.sees('No ship week is set');
  const { promise } = await lot();
  expect(promise?.lines.map(({ in_grade }) => in_grade)).toEqual([8, 10]);
});

test('enters a booking of each grade; the nursery one takes no florist pots', async () => {
  const before = (await lot()).promise!.lines;
  await books('Market Stall 7', 'florist', '40');
  await books('Oxbow Garden Shop', 'nursery', '30');
  await counts((view) => view.bookings.length === 2);
  const after = (await lot()).promise!.lines;
  expect(after[0]!.safe).toBe(before[0]!.safe - 40);
  expect(after[1]!.safe).toBe(before[1]!.safe - 70);
  await desk.sees(`${after[0]!.safe} safe to promise as florist`);
  expect(await table().locator('tbody tr').count()).toBe(2);
  expect(await desk.accessibilityFaults()).toEqual([]);
  await desk.picture('lot-bookings-desk');
});

test('an empty booking is not saved, and says what is missing', async () => {
  await desk.taps('Enter a booking');
  await desk.taps('Save the booking');
  await desk.page.getByRole('dialog').getByText('Buyer is missing. Fill it in.').first().waitFor();
  await desk.page.getByRole('dialog').getByText('Pots is missing. Fill it in.').first().waitFor();
  await desk.picture('lot-booking-wrong-desk');
  await desk.page.keyboard.press('Escape');
});

test('a booking is changed, cancelled and booked again, and all of it stays in the history', async () => {
  await desk.taps('Change the booking for Market Stall 7');
  await typedPots().fill('5000');
  await desk.taps('Save the booking');
  await desk.sees(/Overbooked as florist: [0-9,]+ pots may not be there/);
  await desk.picture('lot-overbooked-desk');
  await desk.taps('Change the booking for Market Stall 7');
  await desk.taps('Cancel this booking');
  await counts((view) => view.bookings.some((booking) => booking.cancelled));
  await table().getByText('cancelled').waitFor();
  await desk.taps('Change the booking for Market Stall 7');
  await desk.taps('Book it again');
  await counts((view) => view.bookings.every((booking) => !booking.cancelled));
  const lines = (await lot()).history.lines.filter((line) => line.kind === 'booking');
  expect(lines.length).toBe(5);
  await desk.sees('booking: Pots: 5,000');
});

/** Opens one field where it stands, or among those that are not noted yet. */
async function opensField(name: string): Promise<void> {
  await desk.page
    .locator('#known')
    .getByRole('button', { name: new RegExp(`^(Edit: )?${name}$`) })
    .click();
}

test('ship week and dates are changed in place, "today" is said, and too early is said before its time', async () => {
  const known = desk.page.locator('form.known');
  const saves = async () => {
    await known.getByRole('button', { name: 'Save', exact: true }).click();
    await known.waitFor({ state: 'detached' });
  };
  await opensField('Potted on');
  await known.getByRole('group', { name: 'Potted on' }).getByText('Today').click();
  expect(await desk.accessibilityFaults()).toEqual([]);
  await desk.picture('lot-known-edit-desk');
  await saves();
  await opensField('Origin');
  await known.getByLabel('Origin', { exact: true }).fill('own cuttings');
  await saves();
  await opensField('Ship week');
  const weeks = known.getByLabel('Ship week', { exact: true });
  const far = await weeks.locator('option').nth(40).getAttribute('value');
  await weeks.selectOption(far!);
  await saves();
  await desk.sees(/Potted on/);
  await desk.sees(/\(today\)/);
  await counts((view) => view.lot.ship_week === far && view.promise?.hold === 'early');
  await desk.sees('Too early to grade: grading starts');
  await desk.sees(/Known so far: head .* and buds 40/);
  const written = (await lot()).history.lines.slice(0, 3).map(({ body }) => Object.keys(body as object).sort());
  expect(written).toEqual([
    ['of', 'saw', 'ship_week'],
    ['of', 'origin', 'saw'],
    ['of', 'potted_on', 'saw'],
  ]);
  await desk.picture('lot-early-desk');
});

test('a field keeps what it was, and the last change is undone from its history', async () => {
  const known = desk.page.locator('#known');
  const origin = known.locator('.fields > div').filter({ hasText: 'Origin' });
  await opensField('Origin');
  await known.getByLabel('Origin', { exact: true }).fill('Hollow Lane');
  await known.getByRole('button', { name: 'Save', exact: true }).click();
  await origin.getByText('History: 2 values').click();
  await origin.getByText('changed later').waitFor();
  await desk.picture('lot-field-history-desk');
  await origin.getByRole('button', { name: 'Undo this change' }).click();
  await origin.getByText('struck out', { exact: true }).waitFor();
  expect(await origin.locator('.undone').textContent()).toContain('Hollow Lane');
  expect(await origin.locator('dd').first().textContent()).toMatch(/^own cuttings/);
  expect(await desk.accessibilityFaults()).toEqual([]);
});

test('where it came from is another lot by its tag: not itself, and not a tag that nobody has', async () => {
  const known = desk.page.locator('form.known');
  await opensField('Came from');
  const tag = known.getByLabel('Came from', { exact: true });
  await tag.fill('no such tag');
  await known.getByText('No lot has the tag no such tag.').first().waitFor();
  await tag.fill((await lot()).lot.tag);
  await known
    .getByText(/came from this one itself/)
    .first()
    .waitFor();
  await known.getByRole('button', { name: 'Discard' }).click();
  await known.waitFor({ state: 'detached' });
});

test('on a phone the lot with its bookings can be read and changed', async () => {
  const phone = await nursery.phoneInRange('supervisor');
  await shows(phone, `/lots/${LOT_1}`);
  await hasEverything(phone);
  await phone.sees('Oxbow Garden Shop');
  expect(await phone.accessibilityFaults()).toEqual([]);
  await phone.picture('lot-bookings-phone');
  await phone.taps('Enter a booking');
  await phone.page.getByRole('dialog').getByLabel('Buyer', { exact: true }).waitFor();
  await phone.picture('lot-booking-phone');
});

test('the sides of a bed get their names on its page; a name for both sides, and fewer rows than a lot stands on, are refused with what to do', async () => {
  await shows(desk, `/beds/${BED_1}`);
  await desk.taps('Edit bed');
  const field = (name: string) => desk.page.getByLabel(name, { exact: true });
  await field('Where one can walk').selectOption('both');
  await field('Name of the near side').fill('path side');
  await field('Name of the far side').fill('Path side');
  await field('Rows').fill('50');
  await desk.taps('Save');
  await desk.sees('Both sides have the same name. Give each its own.');
  await desk.sees('A lot stands up to row 60. Move it first, or enter at least 60 rows.');
  await field('Name of the far side').fill('wall side');
  await field('Rows').fill('66');
  await desk.taps('Save');
  await desk.sees(/^Changed: /);
  await hasEverything(desk);
  await shows(desk, `/beds/${BED_1}`);
  await desk.sees(/66 rows of/);
  await desk.taps('Edit bed');
  expect(await field('Name of the far side').inputValue()).toBe('wall side');
  expect(await field('Where one can walk').inputValue()).toBe('both');
});
