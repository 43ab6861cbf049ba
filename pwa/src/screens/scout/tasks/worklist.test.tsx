/** The phone's work list: what it shows of the server's list and of notes made since, and what a tap, a long press and Undo save. */
import { cleanup, fireEvent, render, screen, waitFor, within } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { Register, WorkItem, WorkView } from '../../../../../schema/types';
import { dayOf } from '../../../forms/days';
import { json } from '../../../journal/answers.testing';
import { ticksOf } from '../../../journal/records/tasks';
import type { Intent } from '../../../journal/store/shape';
import { me, online } from '../../../state';
import { refresh, WORK } from '../../../views/views';
import { speak } from '../../../words';
import { rowsNow } from './itemsNow';
import { WorkList } from './WorkList';

const mocks = vi.hoisted(() => ({
  save: vi.fn(),
  tasks: new Map(),
  houses: { value: new Map() },
  people: { value: new Map() },
  applications: { value: [] as object[] },
}));
vi.mock('../../../journal/outbox/write', async (actual) => ({ ...(await actual<object>()), save: mocks.save }));
vi.mock('../../../journal/records/registers', async (actual) => ({
  ...(await actual<object>()),
  houses: mocks.houses,
  people: mocks.people,
  applications: mocks.applications,
  beds: { value: new Map([['b1', { id: 'b1', name: 'S2' }]]) },
  lots: { value: new Map([['l1', { id: 'l1', tag: 'AZ-118', cultivar: 'Mothwick' }]]) },
}));
vi.mock('../../../journal/records/tasks', async (actual) => ({
  ...(await actual<object>()),
  readTasks: async () => new Map(mocks.tasks),
}));

const DAY_MS = 86_400_000;
const MIREL = 'a'.repeat(32);
const SOL = 'b'.repeat(32);
const inDays = (days: number) => dayOf(Date.now() + days * DAY_MS);
const TODAY = inDays(0);

function item(changes: Partial<WorkItem>): WorkItem {
  const lot = { lot: 'l1', tag: 'AZ-118', cultivar: 'Mothwick', pots: 655, beds: [{ bed: 'b1', name: 'S2' }] };
  const due = { due: inDays(-2), due_is: 'latest', latest: inDays(-2), late_days: 0, closed_until: 0 };
  const whose = { person: MIREL, person_name: 'Mirel', ticks: [] };
  return { task: 'cool', ...lot, step: 'into_cooler', words: '', form: '', ...due, ...whose, ...changes };
}

const far = { due: inDays(30), latest: inDays(30) };
const items = [
  item({}),
  item({ task: 'shut', tag: 'AZ-150', closed_until: Date.now() + DAY_MS, ...far, due: inDays(3), latest: inDays(3) }),
  item({ task: 'up', tag: 'AL-407', step: 'into_small_pot', ...far }),
  item({ task: 'sols', tag: 'AZ-126', step: 'into_forcing', person: SOL, person_name: 'Sol', ...far }),
];

const noted = (value: unknown, entry: string, person: string, more: object = {}) => ({
  value,
  by: { entry, person, device: `device ${person}`, stamp: { at: Date.now(), quality: 'good' } },
  ...more,
});
const register = (of: string, fields: object) => ({ of, fields }) as unknown as Register;

async function opens(list: readonly WorkItem[] = items): Promise<void> {
  const view = { today: TODAY, items: [...list], made_at: Date.now() - 1000 } satisfies WorkView;
  vi.stubGlobal('fetch', async () => json(view));
  await refresh(WORK);
  render(<WorkList />);
  // What was chosen stays chosen when one comes back from a form.
  fireEvent.click(await screen.findByLabelText(/^Mine, \d/));
}

beforeEach(async () => {
  await speak('en');
  mocks.tasks.clear();
  mocks.applications.value = [];
  mocks.houses.value = new Map([['c1', { id: 'c1', name: 'Cold', use: 'cooler' }]]);
  mocks.people.value = new Map([
    [MIREL, { id: MIREL, name: 'Mirel' }],
    [SOL, { id: SOL, name: 'Sol' }],
  ]);
  mocks.save.mockReset().mockImplementation(async (notes: Intent[]) => notes.map((each) => ({ entry: { ...each } })));
  me.value = { role: 'scout', person: MIREL, device: `device ${MIREL}` } as NonNullable<typeof me.value>;
  online.value = true;
});

afterEach(() => {
  cleanup();
  vi.unstubAllGlobals();
});

const line = (text: string) => within(screen.getByText(text).closest('li') as HTMLElement);
const pressed = (button: HTMLElement) => {
  fireEvent.pointerDown(button);
  fireEvent.pointerUp(button);
  fireEvent.click(button);
};

test('one’s own work is shown first, in parts by day; all of it, and whose it is, at a tap', async () => {
  await opens();
  screen.getByText('Mine, 3');
  const titles = () => screen.getAllByRole('heading', { level: 2 }).map(({ textContent }) => textContent);
  expect(titles()).toEqual(['Due today or late', 'In the next 7 days', 'Later']);
  expect(screen.queryByText(/AZ-126/)).toBeNull();
  fireEvent.click(screen.getByLabelText('All, 4'));
  line('into forcing · AZ-126 Mothwick').getByText('for Sol');
  fireEvent.click(screen.getByLabelText('By bed'));
  await waitFor(() => expect(titles()).toEqual(['S2']));
});

test('the part that was chosen is still shown after a form was open', async () => {
  await opens();
  fireEvent.click(screen.getByLabelText('All, 4'));
  await screen.findByText('into forcing · AZ-126 Mothwick');
  cleanup();
  render(<WorkList />);
  await screen.findByText('into forcing · AZ-126 Mothwick');
});

test('late is counted to this phone’s day, and says to ask first; the caution of the step stands with it', async () => {
  await opens();
  // The server’s list said that it was not late yet: it is of a day before.
  line('into the cooler · AZ-118 Mothwick').getByText(/2 days ago\. Ask the supervisor before you start\.$/);
  screen.getAllByText(/^In the cooler: never work alone/);
});

test('a closed bed is shown with when it opens, and is not offered: by the server’s word and by this phone’s own', async () => {
  await opens();
  const shut = line('into the cooler · AZ-150 Mothwick');
  shut.getByText(/^Closed until/);
  expect(shut.queryByRole('button')).toBeNull();
  cleanup();
  mocks.applications.value = [{ beds: ['b1'], ended_at: Date.now(), entry_hours: 12 }];
  await opens();
  const here = line('into the cooler · AZ-118 Mothwick');
  here.getByText(/^Closed until/);
  expect(here.queryByRole('button')).toBeNull();
});

test('one tap saves the tick and the lot’s event of today, and Undo at the foot empties the one and strikes out the other', async () => {
  await opens();
  pressed(screen.getByRole('button', { name: 'into the cooler, AZ-118 Mothwick: done' }));
  await screen.findByText('into the cooler, AZ-118 Mothwick: done today');
  const [tick, event] = (mocks.save.mock.calls[0]?.[0] ?? []) as Intent[];
  expect(tick).toMatchObject({ kind: 'task', lot: 'l1', body: { of: 'cool', done_on: TODAY, done_by: MIREL } });
  expect(event).toMatchObject({
    kind: 'event',
    body: { lot: 'l1', what: 'into_cooler', on: TODAY, task: 'cool', house: 'c1' },
  });
  fireEvent.click(screen.getByRole('button', { name: 'Undo' }));
  await waitFor(() => expect(mocks.save).toHaveBeenCalledTimes(2));
  expect(mocks.save.mock.calls[1]?.[0]).toMatchObject([
    { kind: 'task', body: { of: 'cool', saw: [tick?.id], done_on: null, done_by: null } },
    { kind: 'void', body: { names: event?.id } },
  ]);
  await waitFor(() => expect(screen.queryByRole('button', { name: 'Undo' })).toBeNull());
});

test('a long press asks for the day, saves nothing by itself, and refuses a day to come', async () => {
  await opens();
  const button = screen.getByRole('button', { name: 'into the cooler, AZ-118 Mothwick: done' });
  fireEvent.pointerDown(button);
  const dialog = within(await screen.findByRole('dialog', { hidden: true }));
  fireEvent.pointerUp(button);
  fireEvent.click(button, { detail: 1 });
  expect(mocks.save).not.toHaveBeenCalled();
  dialog.getByText('into the cooler, AZ-118 Mothwick: done on which day?');
  const field = dialog.getByLabelText<HTMLInputElement>('Day', { selector: 'input[type=date]' });
  fireEvent.input(field, { target: { value: inDays(1) } });
  await dialog.findByText(/^This day is still to come/);
  fireEvent.click(dialog.getByText('Done on this day'));
  expect(mocks.save).not.toHaveBeenCalled();
  fireEvent.input(field, { target: { value: inDays(-3) } });
  await waitFor(() => expect(dialog.queryByText(/still to come/)).toBeNull());
  fireEvent.click(dialog.getByText('Done on this day'));
  await waitFor(() => expect(mocks.save).toHaveBeenCalled());
  expect(mocks.save.mock.calls[0]?.[0]).toMatchObject([
    { body: { done_on: inDays(-3) } },
    { body: { what: 'into_cooler', on: inDays(-3) } },
  ]);
});

test('somebody who cannot press long checks a box to be asked for the day', async () => {
  await opens();
  fireEvent.click(screen.getByLabelText(/^Ask me for the day/));
  pressed(screen.getByRole('button', { name: 'into the cooler, AZ-118 Mothwick: done' }));
  await screen.findByRole('dialog', { hidden: true });
  expect(mocks.save).not.toHaveBeenCalled();
});

test('a step with numbers, and one where a choice is left, opens its form for this task', async () => {
  mocks.houses.value.set('c2', { id: 'c2', name: 'Cold 2', use: 'cooler' });
  await opens();
  fireEvent.click(screen.getByRole('button', { name: 'into the small pot, AL-407 Mothwick: open the form' }));
  expect(location.pathname + location.search).toBe('/work/step?lot=l1&bed=b1&task=up&step=into_small_pot');
  fireEvent.click(screen.getByRole('button', { name: 'into the cooler, AZ-118 Mothwick: open the form' }));
  expect(location.pathname + location.search).toBe('/work/event?lot=l1&bed=b1&task=cool&step=into_cooler');
  history.replaceState(null, '', '/');
});

test('ticked by two on different days, both are named and the earlier counts; one’s own can be taken back alone', async () => {
  const both = {
    done_on: noted(inDays(-1), 'e2', SOL, { live: ['e1', 'e2'], others: [noted(TODAY, 'e1', MIREL)] }),
    done_by: noted(SOL, 'e2', SOL, { live: ['e1', 'e2'], others: [noted(MIREL, 'e1', MIREL)] }),
  };
  mocks.tasks.set('cool', register('cool', both));
  await opens();
  screen.getByText('Mine, 2');
  const done = line('into the cooler · AZ-118 Mothwick');
  done.getByText(/^Sol, .*\. Mirel, .*\. The earlier day counts\.$/);
  fireEvent.click(done.getByRole('button', { name: 'Undo: into the cooler, AZ-118 Mothwick' }));
  await waitFor(() => expect(mocks.save).toHaveBeenCalled());
  expect(mocks.save.mock.calls[0]?.[0]).toMatchObject([{ body: { of: 'cool', saw: ['e1'], done_on: null } }]);
});

test('of two who ticked on the same day none is said to be earlier', async () => {
  const same = {
    done_on: noted(TODAY, 'e2', SOL),
    done_by: noted(SOL, 'e2', SOL, { others: [noted(MIREL, 'e1', MIREL)] }),
  };
  mocks.tasks.set('cool', register('cool', same));
  await opens();
  line('into the cooler · AZ-118 Mothwick').getByText(/^Mirel, [^.]*\. Sol, [^.]*\.?$/);
});

test('ticks are those that nobody has taken back, the earliest day first', () => {
  const undone = {
    done_on: noted(null, 'e3', MIREL, { others: [noted('2026-11-20', 'e2', SOL)] }),
    done_by: noted(null, 'e3', MIREL, { others: [noted(SOL, 'e2', SOL)] }),
  };
  expect(ticksOf(register('t', undone)).map(({ on, by }) => [on, by])).toEqual([['2026-11-20', SOL]]);
  // Two who wrote the same day: the fold shows it once, and both persons.
  const same = {
    done_on: noted('2026-11-20', 'e2', SOL),
    done_by: noted(SOL, 'e2', SOL, { others: [noted(MIREL, 'e1', MIREL)] }),
  };
  expect(ticksOf(register('t', same)).map(({ on, by }) => [on, by])).toEqual([
    ['2026-11-20', MIREL],
    ['2026-11-20', SOL],
  ]);
});

test('what was handed out, called off or given another day since the server’s list is as this phone has received it', () => {
  const now = Date.now();
  const view = { today: TODAY, items: [...items], made_at: now - 60_000 };
  const tasks = new Map([
    ['sweep', register('sweep', { words: noted('Sweep the mist house', 'e1', SOL), due_on: noted(TODAY, 'e1', SOL) })],
    ['off', register('off', { words: noted('Sweep', 'e1', SOL), cancelled: noted(true, 'e2', SOL) })],
    ['up', register('up', { person: noted(SOL, 'e3', SOL), due_on: noted(inDays(1), 'e3', SOL) })],
    ['sols', register('sols', { cancelled: noted(true, 'e4', SOL) })],
    ['old', register('old', { lot: noted('l1', 'e5', SOL), step: noted('regulator', 'e5', SOL) })],
  ]);
  const old = tasks.get('old')?.fields['lot'];
  if (old) old.by.stamp.at = now - DAY_MS;
  const step = tasks.get('old')?.fields['step'];
  if (step) step.by.stamp.at = now - DAY_MS;
  const rows = new Map(rowsNow(view, tasks, now).map(({ item: each }) => [each.task, each]));
  expect([...rows.keys()].sort()).toEqual(['cool', 'shut', 'sols', 'sweep', 'up']);
  expect(rows.get('sweep')).toMatchObject({ words: 'Sweep the mist house', due: TODAY, due_is: 'handed' });
  expect(rows.get('up')).toMatchObject({ person: SOL, person_name: 'Sol', due: inDays(1), due_is: 'handed' });
  expect(rows.get('sols')).toMatchObject({ person: '', due_is: 'latest' });
  // Without any list what was written down is still there.
  expect(rowsNow(undefined, tasks, now).map(({ item: each }) => each.task)).toEqual(['sweep', 'old']);
});

test('the head says how old the plan is, that the phone is out of range, and how many ticks were not sent', async () => {
  const tick = { done_on: noted(TODAY, 'e1', MIREL), done_by: noted(MIREL, 'e1', MIREL) };
  for (const { by } of Object.values(tick)) by.stamp.quality = 'pending';
  mocks.tasks.set('cool', register('cool', tick));
  await opens();
  online.value = false;
  await screen.findByText(/^Plan as of .*, out of range since · 1 tick not sent yet$/);
});
