/** The phone's list of all work, out of range: ticked in one tap or by a form, and taken back. One phone, from one test to the next. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Device, Nursery } from './harness.ts';
import { rowsOf } from './rows.ts';
import { BED_2, oneMoreBed, openSmallNursery, push, type Line } from './small.ts';
import { turnsTo } from './states.ts';
import { hasEverything } from './walking.ts';

let nursery: Nursery;
let scout: Device;

beforeAll(async () => {
  nursery = await openSmallNursery(oneMoreBed('3'));
  scout = await nursery.phone('scout');
  await scout.isReadyForTheField();
  await hasEverything(scout);
});
afterAll(() => nursery?.close());

interface Entered {
  entry: { kind: string; seq: number; body: { [field: string]: unknown } };
}

/** Bodies of a kind that this phone wrote, oldest first. */
async function written(kind: string): Promise<Entered['entry']['body'][]> {
  const own = (await rowsOf(scout.page, 'bedwalk', 'entries', { own: true })) as Entered[];
  const of = own.map(({ entry }) => entry).filter((entry) => entry.kind === kind);
  return of.sort((a, b) => a.seq - b.seq).map(({ body }) => body);
}

const field = (name: string) =>
  scout.page.getByRole('textbox', { name }).or(scout.page.getByRole('combobox', { name })).first();

const [SECOND, CUTTINGS] = ['e'.repeat(32), '3d'.repeat(16)];
const DEAD = '8'.repeat(32);
const ticked = async (task: string) => (await written('task')).filter((body) => body['of'] === task).at(-1);
const row = (name: string) => scout.page.locator('.mytasks li', { hasText: name });
const inDays = (days: number) => new Date(Date.now() + days * 86_400_000).toISOString().slice(0, 10);

test('steps of the plan and work in words are there, and stay when the range is lost', async () => {
  const event = (of: string, what: string, days: number, more = {}) =>
    ['event', { lot: of, what, on: inDays(days), ...more }, { lot: of }] as Line;
  const ended = { beds: [BED_2], ended_at: Date.now() - 100 * 86_400_000, entry_hours: 12 };
  const put = { lot: SECOND, purpose: 'growth_regulator', active: 'as on the label', ...ended } as const;
  const said = await push(nursery.server, 'owner', [
    event(SECOND, 'potted', -300),
    event(SECOND, 'pinched', -140, { last: true }),
    ['application', put, { lot: SECOND, bed: BED_2 }],
    event(CUTTINGS, 'stuck', -60),
    ['task', { of: '7'.repeat(32), saw: [], words: 'Sweep the mist house', due_on: inDays(0) }],
    ['task', { of: DEAD, saw: [], words: 'Throw out the dead', lot: CUTTINGS, form: 'loss' }, { lot: CUTTINGS }],
  ]);
  expect(said.map(({ state }) => state)).toEqual(said.map(() => 'merged'));
  await scout.comesIntoRange();
  await hasEverything(scout);
  await turnsTo(scout, '/');
  await scout.taps('Work list');
  await scout.page.getByText(/^All, /).tap();
  await row('into the cooler · AZ-102 Dusk Ferry').waitFor();
  await scout.goesOutOfRange();
  await scout.sees(/^Plan as of .*, out of range since/);
  await row('Sweep the mist house').getByText('not handed out').waitFor();
  expect(await scout.accessibilityFaults('state')).toEqual([]);
  await scout.picture('work-list');
});

test('one tap ticks a step and notes the lot’s event; Undo at the foot takes both back', async () => {
  const done = row('into the cooler').getByRole('button', { name: /: done$/ });
  await done.tap();
  const foot = scout.page.locator('.undofoot');
  await foot.getByText('into the cooler, AZ-102 Dusk Ferry: done today').waitFor();
  const noted = (await written('event')).at(-1);
  expect(noted).toMatchObject({ lot: SECOND, what: 'into_cooler' });
  const of = String(noted?.['task']);
  expect(await ticked(of)).toMatchObject({ done_on: noted?.['on'] });
  await scout.sees(/1 tick not sent yet$/);
  await scout.picture('work-list-ticked');
  await foot.getByRole('button', { name: 'Undo' }).tap();
  await done.waitFor();
  await expect.poll(() => ticked(of)).toMatchObject({ done_on: null, done_by: null });
  await expect.poll(async () => (await written('void')).at(-1)).toMatchObject({ why: 'mistake' });
});

test('another day is asked for without a long press', async () => {
  await scout.page.getByLabel(/^Ask me for the day/).check();
  await row('into the cooler')
    .getByRole('button', { name: /: done$/ })
    .tap();
  await scout.page.getByRole('dialog').waitFor();
  await scout.picture('work-list-day');
  await scout.page.locator('dialog label', { hasText: 'yesterday' }).tap();
  await scout.taps('Done on this day');
  await scout.page.locator('.undofoot').waitFor();
  expect((await written('event')).at(-1)).toMatchObject({ what: 'into_cooler', on: inDays(-1) });
  await scout.page.getByRole('dialog').waitFor({ state: 'detached' });
});

test('work in somebody’s own words opens the form that they named for it', async () => {
  await row('Throw out the dead')
    .getByRole('button', { name: /open the form$/ })
    .tap();
  await scout.sees('Saving this also ticks “Throw out the dead” in the work list.');
  await scout.page.getByRole('radio', { name: 'root rot' }).first().check({ force: true });
  await scout.taps('+1');
  await scout.taps(/^Save$/);
  await row('Throw out the dead').locator('.ticked').waitFor();
  expect((await written('count')).at(-1)).toMatchObject({ lot: CUTTINGS, change: -1 });
  expect(await ticked(DEAD)).toMatchObject({ done_on: expect.any(String) });
});

test('a step with numbers opens its form filled in, and saving the form ticks it', async () => {
  await row('potted as liner')
    .getByRole('button', { name: /open the form$/ })
    .tap();
  await scout.sees(/^Saving this also ticks “potted as liner”/);
  expect(await field('How many pots').inputValue()).toBe('599');
  await scout.picture('work-list-form');
  await field('New tag code').fill('LN-1');
  await field('New pot size').fill('7');
  await scout.page.getByText('on no bed', { exact: true }).tap();
  await scout.taps(/^Save$/);
  await scout.sees(/599 pots stepped up to lot LN-1/);
  await row('potted as liner').locator('.ticked').waitFor();
  const task = String((await written('event')).at(-1)?.['task']);
  expect(await ticked(task)).toMatchObject({ done_by: expect.any(String), done_on: expect.any(String) });
});

test('what was ticked out of range is at the server in the end, and none of it is held', async () => {
  await scout.comesIntoRange();
  await expect
    .poll(async () => (await rowsOf(scout.page, 'bedwalk', 'entries', { pending: true })).length, { timeout: 120_000 })
    .toBe(0);
  expect(await rowsOf(scout.page, 'bedwalk', 'entries', { own: true, state: true })).toEqual([]);
});
