/** Pages at the desk in the demo: what needs a step this morning, what was noted on a day, how right the plan was of the finished seasons, and which beds are walked next. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { AttentionView, DayView, RightView, TomorrowView } from '../../schema/types.ts';
import { openNursery, type Device, type Nursery } from './harness.ts';
import { shows, turnsTo, viewOf } from './pages.ts';

let nursery: Nursery;
let desk: Device;

beforeAll(async () => {
  nursery = await openNursery({ demo: true });
  desk = await nursery.viewer('supervisor', 'desk');
  // Of the records only the first page: who works here is in it, and no page here shows the season.
  const isFirst = (url: string) => new URL(url).searchParams.get('after') === '0';
  await desk.page
    .context()
    .route('**/api/pull?*', (route) => (isFirst(route.request().url()) ? route.continue() : route.abort()));
  await desk.opens('/beds');
});
afterAll(() => nursery.close());

test('settles what needs a step and takes it back with one tap; Back returns to the same place', async () => {
  const { items } = await viewOf<AttentionView>(desk, 'attention');
  const said = (count: number) => desk.page.getByRole('link', { name: `${count} things need you` });
  await shows(desk, '/beds?show=step');
  await said(items.length).waitFor();
  const head = await desk.page.locator('.needs ol > li').first().locator('b, a').first().innerText();
  // By its head, and not as the first: until the server has read what was taken back, the row may be away once more.
  const row = desk.page.locator('.needs ol > li', { hasText: head });
  const settles = () => row.getByRole('button', { name: 'Settle' }).click();
  // The offer to undo leaves by itself, so nothing is waited for before it is taken.
  await settles();
  await desk.page.getByRole('button', { name: 'Undo' }).click();
  await said(items.length).waitFor({ timeout: 120_000 });
  await settles();
  await said(items.length - 1).waitFor();
  const away = async () => (await viewOf<AttentionView>(desk, 'attention')).away.map(({ id }) => id);
  await expect.poll(away, { timeout: 120_000 }).toContain(items[0]!.id);
  await desk.page.locator('.away').getByRole('button', { name: 'show' }).click();
  await desk.page.getByRole('button', { name: 'Bring back' }).click();
  await said(items.length).waitFor({ timeout: 120_000 });
  await expect.poll(away, { timeout: 120_000 }).toEqual([]);
  // Chosen after the page was opened: what is left is the list with its filter.
  await shows(desk, '/beds');
  await said(items.length).click();
  await desk.page.waitForURL(/\/beds\?show=step$/);
  const size = desk.page.viewportSize()!;
  await desk.page.setViewportSize({ ...size, height: 400 });
  const last = desk.page.locator('.bedtile').last();
  await last.scrollIntoViewIfNeeded();
  const top = () => desk.page.evaluate(() => Math.round(scrollY));
  const before = await top();
  expect(before).toBeGreaterThan(0);
  await last.click();
  await desk.page.locator('.above').waitFor();
  await expect.poll(top).toBe(0);
  await desk.page.goBack();
  await desk.page.waitForURL(/\/beds\?show=step$/);
  await expect.poll(top).toBe(before);
  await desk.page.setViewportSize(size);
});

test('every lot of two finished seasons has what was said of it beside what happened, and counts stand above', async () => {
  await turnsTo(desk, '/plan/right');
  // What earlier days said is computed bit by bit; the page asks until it has all of it.
  await desk.page.waitForFunction(() => document.querySelector('main [role=status]') === null);
  const view = await viewOf<RightView>(desk, 'right');
  expect(view).toMatchObject({ waiting: 0, lots: { length: 24 } });
  const list = desk.page.getByRole('region', { name: 'Lot by lot' }).locator('tbody tr');
  expect(await list.count()).toBe(view.lots.length);
  const all = view.scores.find(({ weeks, crop }) => weeks === 4 && crop === '')!;
  const first = desk.page.getByRole('region', { name: 'How often it was right' }).locator('tbody tr').first();
  expect((await first.innerText()).replaceAll('\u00a0', ' ')).toContain(`${all.inside.count} of ${all.inside.n}`);
  await desk.page.getByLabel('Weeks before shipping').selectOption('12');
  const { said, tag } = view.lots[0]!;
  const twelve = said.find(({ weeks }) => weeks === 12)!;
  const row = list.filter({ hasText: tag });
  expect(await row.innerText()).toContain(twelve.in_time ? 'made it' : 'missed it');
  expect(await desk.page.locator('.reliability circle').count()).toBe(
    view.tenths.filter(({ weeks }) => weeks === 12).length,
  );
  await desk.picture('right-desk');
});

test('walks are shared out by hours, handed out, and stand in the work list', async () => {
  await turnsTo(desk, '/plan/tomorrow');
  const before = await viewOf<TomorrowView>(desk, 'tomorrow');
  const open = before.walks.filter(({ closed_until: closed }) => closed <= new Date(`${before.on}T00:00`).getTime());
  expect(open.length).toBeGreaterThan(2);
  await desk.page.getByLabel('Hours each').selectOption('1');
  await desk.page.getByLabel('Mirel Fenwisk').check();
  const button = desk.page.getByRole('button', { name: /^Hand out/ });
  const walks = Number(/\d+/.exec(await button.innerText())?.[0]);
  expect(walks).toBeGreaterThan(0);
  await button.click();
  await desk.sees('handed to Mirel Fenwisk');
  const handed = async () =>
    (await viewOf<TomorrowView>(desk, 'tomorrow')).walks.filter(({ person_name: name }) => name === 'Mirel Fenwisk');
  await expect.poll(async () => (await handed()).length, { timeout: 120_000 }).toBeGreaterThanOrEqual(walks);
  const given = await handed();
  expect(given.reduce((sum, { minutes }) => sum + minutes, 0)).toBeLessThanOrEqual(60);
  await desk.picture('tomorrow-desk');
  await turnsTo(desk, '/plan/work');
  await desk.page.getByText(`Walk bed ${given[0]!.name}`).first().waitFor();
});

test('reads what was noted on a day, by person and with the keyboard by bed, and opens a walk from there', async () => {
  // Nobody walks on the demo's Sundays.
  const dayBefore = (day: string) => new Date(Date.parse(day) - 86_400_000).toISOString().slice(0, 10);
  let day = await viewOf<DayView>(desk, 'day');
  await turnsTo(desk, '/beds');
  await desk.page.getByRole('link', { name: 'What was noted yesterday' }).click();
  await desk.page.getByRole('heading', { level: 1, name: /^Noted yesterday/ }).waitFor();
  do {
    const before = dayBefore(day.day);
    await desk.page.locator(`.turn a[href="/days/${before}"]`).press('Enter');
    await desk.page.waitForURL(`**/days/${before}`);
    day = await viewOf<DayView>(desk, `day?day=${before}`);
  } while (day.walks === 0);
  const lines = desk.page.locator('.daylines li');
  await expect.poll(() => lines.count()).toBe(day.groups.flatMap((group) => group.lines).length);
  await desk.page.getByLabel('Grouped by').focus();
  await desk.page.keyboard.press('ArrowDown');
  await desk.page.waitForURL(`**/days/${day.day}?by=bed`);
  const byBed = await viewOf<DayView>(desk, `day?day=${day.day}&by=bed`);
  for (const { bed = '' } of byBed.groups.filter((group) => group.bed))
    await desk.page.locator(`h2 a[href="/beds/${bed}"]`).waitFor();
  const walked = byBed.groups.find((group) => group.walks > 0)!.lines.find((line) => line.walk)!;
  await desk.page.locator(`a[href="/beds/${walked.bed}?walk=${walked.walk!.walk}"]`).press('Enter');
  await desk.page.waitForURL(`**/beds/${walked.bed}?walk=${walked.walk!.walk}`);
  await desk.page.locator('.trend .chosen, .plot .chosen').first().waitFor();
});
