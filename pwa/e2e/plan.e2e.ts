/** The way ahead of lots: late for its week, a planned day, and the stage lengths that every date follows from. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { LotView, Me, PlanView, SupplyView, WorkView } from '../../schema/types.ts';
import type { Device, Nursery } from './harness.ts';
import { shows, turnsTo, viewOf } from './pages.ts';
import { BED_1, LOT_1, openSmallNursery } from './small.ts';
import { hasEverything } from './walking.ts';

let nursery: Nursery;
let desk: Device;

const DAY = 86_400_000;
const BOOKING = 'b'.repeat(32);
const now = Date.now();
const inDays = (days: number) => new Date(now + days * DAY).toISOString().slice(0, 10);

/** The ISO week so many days from now: its year is that of its Thursday. */
function weekIn(days: number): string {
  const date = new Date(now + days * DAY);
  const thursday = new Date(date.getTime() + (3 - ((date.getUTCDay() + 6) % 7)) * DAY);
  const first = Date.UTC(thursday.getUTCFullYear(), 0, 1);
  const week = Math.floor((thursday.getTime() - first) / (7 * DAY)) + 1;
  return `${thursday.getUTCFullYear()}-W${String(week).padStart(2, '0')}`;
}

beforeAll(async () => {
  nursery = await openSmallNursery([
    // 70 days from now are 42 of cold and 35 of forcing short by a week: the latest day for the cooler has passed.
    ['lot', { of: LOT_1, ship_week: weekIn(70), route: 'florist', potted_on: inDays(-300) }],
    ['booking', { of: BOOKING, lot: LOT_1, pots: 20, grade: 'florist', buyer: 'Oxbow' }, { lot: LOT_1 }],
    ['event', { lot: LOT_1, what: 'clipped', on: inDays(-110) }, { lot: LOT_1 }],
    [
      'application',
      { beds: [BED_1], purpose: 'growth_regulator', active: 'invented', ended_at: now - 80 * DAY, entry_hours: 12 },
    ],
  ]);
  desk = await nursery.desk('supervisor');
  await shows(desk, '/plan');
  await hasEverything(desk);
});
afterAll(() => nursery.close());

const rowOf = (tag: string) => desk.page.locator('.calendar .row', { hasText: tag });
const stepOf = (name: string) => desk.page.locator('tbody tr', { has: desk.page.locator('th', { hasText: name }) });
const lot = () => viewOf<LotView>(desk, `lots/${LOT_1}`);
async function until(what: () => Promise<boolean>): Promise<void> {
  while (!(await what())) await new Promise((done) => setTimeout(done, 100));
}

test('a lot that is late for its week is found on the calendar, and one without any day says what is missing', async () => {
  const late = await rowOf('AZ-101').innerText();
  expect(late).toMatch(/late \d+ days/);
  expect(late).toMatch(/\d in 10/);
  expect(await rowOf('AZ-102').innerText()).toContain('No day is known for any step');
  await desk.page.getByText('2 lots, 1 late for a step').waitFor();
  await desk.picture('plan-desk');
});

test('its line opens it beside the others: why it is late, step by step, with what each date rests on', async () => {
  await desk.page.getByRole('link', { name: 'AZ-101 Ember Lace' }).click();
  await desk.page.getByText(/^Late: the latest day for “into the cooler” was \d+ days ago/).waitFor();
  const cooler = await stepOf('into the cooler').innerText();
  await desk.page.getByText('Rests on', { exact: true }).click();
  await desk.page.getByText(/^bud set: 63 to 88 days, middle 75; published/).waitFor();
  expect(cooler).toContain('Not noted yet, so counted as not done.');
  expect(await stepOf('growth regulator').innerText()).toContain('known from its bed');
  await desk.picture('plan-lot-desk');
});

test('the ship weeks say what nobody can say yet, and a booking in them is not called impossible', async () => {
  await turnsTo(desk, '/plan/weeks');
  const week = desk.page.locator('.shipweek').first();
  await week.locator('summary').first().click();
  await week.getByText(/^0 of 1 lot counted/).waitFor();
  await week.getByText(/^Not known yet: no finished walk/).waitFor();
  await week.getByText('20 pots: nobody can say yet.').waitFor();
  await desk.picture('weeks-desk');
});

test('a booking of any lot of a crop is tried, saved, and stands in its week', async () => {
  const weeks = async () => (await viewOf<SupplyView>(desk, 'supply')).weeks;
  const stands = JSON.stringify(await weeks());
  await desk.taps('Enter a booking');
  const form = desk.page.locator('dialog[open]');
  await form.getByLabel('Buyer').fill('Ferry Lane Florist');
  await desk.taps('Save the booking');
  await form.locator('.problems').getByText('Choose a pot size.').waitFor();
  await form.getByLabel('Crop').selectOption('azalea');
  await form.getByLabel('Pot size').selectOption('150');
  await form.getByRole('textbox', { name: 'Pots' }).fill('15');
  await form.getByLabel('Ship week').selectOption(weekIn(70));
  await desk.taps('Try it');
  await form.locator('tbody tr', { hasText: 'This booking' }).getByText('15 pots: nobody can say yet.').waitFor();
  expect(JSON.stringify(await weeks())).toBe(stands);
  await desk.picture('weeks-booking-desk');
  await desk.taps('Save the booking');
  const week = desk.page.locator('.shipweek').first();
  await week.getByText(/^Ferry Lane Florist: 15 pots, .*from any lot of azalea, /).waitFor();
  expect((await weeks())[0]?.bookings).toHaveLength(2);
  await turnsTo(desk, `/plan/${LOT_1}`);
});

test('another ship week is tried beside the plan as it stands, and nothing is written', async () => {
  const { chance, by } = (await lot()).plan;
  await desk.taps('Try other days or another week');
  await desk.page.getByLabel('Ship week').selectOption(weekIn(280));
  await desk.taps('Try it');
  const line = desk.page.locator('tbody tr', { hasText: 'Ready in time' });
  await line.getByText('over 9 in 10').waitFor();
  await desk.picture('plan-try-desk');
  expect((await lot()).plan).toMatchObject({ chance, by });
  await desk.taps('Leave it as it is');
  await desk.page.getByLabel('Ship week').waitFor({ state: 'detached' });
  expect((await lot()).plan).toMatchObject({ by });
});

test('a planned day is set there, moves what follows, and is taken back', async () => {
  const before = (await lot()).plan.steps.at(-1)?.day50 ?? '';
  await desk.taps('Try other days or another week');
  await desk.page.getByLabel('Planned: into the cooler').fill(inDays(-1));
  await desk.taps('Take it');
  await desk.page.locator('.problems').getByText('This day has passed.').waitFor();
  await desk.page.getByLabel('Planned: into the cooler').fill(inDays(30));
  await desk.taps('Take it');
  await stepOf('into the cooler').getByText('planned for').waitFor();
  await until(async () => ((await lot()).plan.steps.at(-1)?.day50 ?? '') > before);
  await desk.taps('Try other days or another week');
  await desk.page.getByLabel('Planned: into the cooler').fill('');
  await desk.taps('Take it');
  await stepOf('into the cooler').getByText('planned for').waitFor({ state: 'detached' });
});

test('the next step of a lot is handed out to a person, and taken back', async () => {
  await turnsTo(desk, '/plan/work');
  const step = async () => (await viewOf<WorkView>(desk, 'work')).items.find(({ lot: of }) => of === LOT_1);
  const select = desk.page.getByLabel('into the cooler, AZ-101 Ember Lace: hand to');
  const [, first] = await select.locator('option').allInnerTexts();
  await select.selectOption({ label: first ?? '' });
  await desk.sees(`handed to ${first}`);
  await until(async () => (await step())?.person_name === first);
  expect(await step()).toMatchObject({ step: 'into_cooler', due_is: 'latest', ticks: [] });
  await desk.page.getByRole('button', { name: 'Print 1 sheet' }).waitFor();
  await desk.picture('work-desk');
  await desk.taps('Undo');
  await until(async () => (await step())?.person === '');
  await desk.page.getByText('Hand out work to print a sheet for each person.').waitFor();
});

test('stage lengths of the grower’s own are set under Crops, and every date follows', async () => {
  await turnsTo(desk, '/crops/azalea');
  const length = (which: string) => desk.page.getByRole('textbox', { name: `bud set, ${which} of ten, in days` });
  await length('quickest').fill('80');
  await desk.sees('bud set: enter all three numbers, or none.');
  await length('middle').fill('90');
  await length('slowest').fill('85');
  await desk.sees('the quickest must not be over the middle');
  await length('slowest').fill('100');
  await desk.picture('stages-desk');
  await desk.taps('Save');
  await until(async () => (await viewOf<PlanView>(desk, 'plan')).own_stages);
  await turnsTo(desk, `/plan/${LOT_1}`);
  await desk.page.getByText('Rests on', { exact: true }).click();
  await desk.page.getByText('bud set: 80 to 100 days, middle 90; your own').waitFor();
  await turnsTo(desk, `/lots/${LOT_1}`);
  await stepOf('into the cooler').getByText('your own').waitFor();
  await desk.picture('lot-plan-desk');
});

test('a scout ticks the step out of range in one tap, takes it back, ticks it again, and the plan counts its day', async () => {
  const scout = await nursery.phoneInRange('scout');
  await hasEverything(scout);
  const { person } = await scout.page.evaluate(async () => (await fetch('/api/me')).json() as Promise<Me>);
  await turnsTo(desk, '/plan/work');
  await desk.page.getByLabel('into the cooler, AZ-101 Ember Lace: hand to').selectOption(person);
  const mine = scout.page.locator('.mytasks li', { hasText: 'into the cooler · AZ-101 Ember Lace' });
  await mine.getByText(/days ago\. Ask the supervisor before you start\.$/).waitFor();
  await scout.sees('Never alone in the cooler');
  await scout.picture('today-task');
  await scout.goesOutOfRange();
  await mine.getByRole('button', { name: 'Done' }).tap();
  await mine.waitFor({ state: 'detached' });
  await scout.taps('Undo');
  await mine.getByRole('button', { name: 'Done' }).tap();
  await mine.waitFor({ state: 'detached' });
  await scout.comesIntoRange();
  const items = async () => (await viewOf<WorkView>(desk, 'work')).items.filter(({ lot: of }) => of === LOT_1);
  await until(async () => (await items()).some(({ step }) => step === 'into_forcing'));
  const done = (await items()).find(({ step }) => step === 'into_cooler');
  expect(done?.ticks).toMatchObject([{ by: person }]);
  await desk.page.getByRole('heading', { name: 'Done in the last 7 days' }).waitFor();
});
