/** The work list at the desk: in parts by day, handed out row by row, printed sheet by sheet. */
import { cleanup, fireEvent, render, screen, waitFor, within } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { Register, WorkItem, WorkView } from '../../../../../schema/types';
import { json } from '../../../journal/answers.testing';
import { me } from '../../../state';
import { speak } from '../../../words';
import { callOff } from './handOut';
import { isOnTwoDays, TwoDays } from './TwoDays';
import { Work } from './Work';
import { DISPUTED, groupOf, personOf } from '../../../words/tasks';

const { save, people } = vi.hoisted(() => ({ save: vi.fn(), people: { value: new Map() } }));
vi.mock('../../../journal/outbox/write', async (actual) => ({ ...(await actual<object>()), save }));
vi.mock('../../../journal/inbox/arriving', async (actual) => ({
  ...(await actual<object>()),
  firstReading: { value: undefined },
}));
vi.mock('../../../journal/records/registers', async (actual) => ({
  ...(await actual<object>()),
  people,
  lots: { value: new Map([['l1', { id: 'l1', tag: 'AZ-150' }]]) },
}));

const TODAY = '2026-11-25';
const MIREL = 'a'.repeat(32);
const SOL = 'b'.repeat(32);

function item(changes: Partial<WorkItem>): WorkItem {
  const lot = {
    lot: 'd'.repeat(32),
    tag: 'AZ-118',
    cultivar: 'Mothwick',
    pots: 655,
    beds: [{ bed: 'b1', name: 'S2' }],
  };
  const day = { due: '2026-11-16', due_is: 'latest', latest: '2026-11-16', late_days: 9, closed_until: 0 };
  const whose = { person: '', person_name: '', ticks: [] };
  return { task: 'late', ...lot, step: 'into_cooler', words: '', form: '', ...day, ...whose, ...changes };
}

const soon = { due: '2026-12-01', latest: '', late_days: 0 };
const items: WorkItem[] = [
  item({}),
  item({
    task: 'closed',
    tag: 'HY-302',
    step: 'regulator',
    ...soon,
    due_is: 'likely',
    closed_until: Date.now() + 3_600_000,
  }),
  item({ task: 'far', tag: 'AZ-126', ...soon, due: '2026-12-02', person: SOL, person_name: 'Sol' }),
  item({
    task: 'swept',
    lot: '',
    tag: '',
    cultivar: '',
    beds: [],
    step: '',
    words: 'Sweep the mist house',
    due: '',
    due_is: '',
    late_days: 0,
    ticks: [
      { on: '2026-11-20', by: SOL, name: 'Sol' },
      { on: '2026-11-21', by: MIREL, name: 'Mirel' },
    ],
  }),
];

beforeEach(async () => {
  await speak('en');
  save.mockReset().mockResolvedValue([]);
  people.value = new Map([
    [MIREL, { id: MIREL, name: 'Mirel' }],
    [SOL, { id: SOL, name: 'Sol' }],
    ['gone', { id: 'gone', name: 'Gone', left: true }],
  ]);
  me.value = { role: 'supervisor', site_name: 'Quillfen' } as NonNullable<typeof me.value>;
  vi.stubGlobal('fetch', async () => json({ today: TODAY, items, made_at: Date.now() } satisfies WorkView));
  render(<Work />);
  await screen.findByRole('heading', { name: 'Late' });
});

afterEach(() => {
  cleanup();
  vi.unstubAllGlobals();
});

const part = (title: string) =>
  within(screen.getByRole('heading', { level: 2, name: title }).closest('section') as HTMLElement);

test('what is late comes first, then the next 7 days; each says its day, its beds and until when they are closed', () => {
  const titles = screen.getAllByRole('heading', { level: 2 }).map((each) => each.textContent);
  expect(titles).toEqual(['Ticked for two days', 'Late', 'In the next 7 days', 'Later', 'Done in the last 7 days']);
  part('Late').getByText(/^latest .*16.*, 9 days ago$/);
  part('In the next 7 days').getByText(/^likely .*1/);
  part('In the next 7 days').getByText(/^Closed until /);
  screen.getByText('3 pieces of work, 1 late, 2 not handed out');
});

test('two who ticked one piece of work are both named, and the earlier day counts', () => {
  part('Done in the last 7 days').getByText(/^Sol, .*20/);
  part('Done in the last 7 days').getByText(/^Mirel, .*21/);
  part('Done in the last 7 days').getByText('The earlier day counts.');
});

test('a tick of which the plan has no day stays where the step is due, and says so', () => {
  const ticks = [{ on: '2026-11-20', by: SOL, name: 'Sol' }];
  expect(groupOf(item({ ticks }), TODAY)).toBe('late');
  expect(groupOf(item({ ticks, due_is: 'handed' }), TODAY)).toBe('done');
  expect(groupOf(item({ due_is: 'handed', late_days: 0 }), TODAY)).toBe('late');
  expect(groupOf(item({ due: '', due_is: '', late_days: 0 }), TODAY)).toBe('undated');
});

test('what this device knows of a task goes before the server’s list, and two choices made apart are not one', () => {
  const given = item({ person: SOL });
  const chosen = (person: unknown) => ({ of: 'late', fields: { person } }) as Register;
  expect(personOf(given, undefined)).toBe(SOL);
  expect(personOf(given, chosen({ value: MIREL, live: ['e1'] }))).toBe(MIREL);
  expect(personOf(given, chosen({ value: null, live: ['e2'] }))).toBe('');
  expect(personOf(given, chosen({ value: MIREL, live: ['e1', 'e2'], others: [{ value: SOL }] }))).toBe(DISPUTED);
});

test('one choice hands a step out: the note names the task, its lot and step, and the person', async () => {
  const select = screen.getByLabelText<HTMLSelectElement>('into the cooler, AZ-118 Mothwick: hand to');
  await waitFor(() => expect(select.disabled).toBe(false));
  expect([...select.options].map(({ text }) => text)).toEqual(['nobody', 'Mirel', 'Sol']);
  fireEvent.change(select, { target: { value: MIREL } });
  await waitFor(() => expect(save).toHaveBeenCalled());
  expect(save.mock.calls[0]?.[0]).toMatchObject([
    {
      kind: 'task',
      lot: 'd'.repeat(32),
      body: { of: 'late', saw: [], lot: 'd'.repeat(32), step: 'into_cooler', person: MIREL },
    },
  ]);
});

test('the printer receives a sheet for each person, with a box for each piece of work and the cautions of its steps', async () => {
  const printed: string[] = [];
  let boxes = 0;
  vi.stubGlobal('print', () => {
    printed.push(...[...document.querySelectorAll('.worksheet')].map((sheet) => sheet.textContent ?? ''));
    boxes = document.querySelectorAll('.worksheet .tickbox').length;
  });
  fireEvent.click(screen.getByRole('button', { name: 'Print 1 sheet' }));
  await waitFor(() => expect(printed).toHaveLength(1));
  expect(printed[0]).toMatch(/^Work for SolAs of .*AZ-126/);
  // The caution of the cooler stands on it in both languages.
  expect(printed[0]).toMatch(/alone.*sol[oa]/i);
  expect(boxes).toBe(1);
  dispatchEvent(new Event('afterprint'));
  await waitFor(() => expect(document.querySelector('.worksheet')).toBeNull());
  fireEvent.change(screen.getByLabelText('Handed to'), { target: { value: '' } });
  fireEvent.click(screen.getByRole('button', { name: 'Print 1 sheet' }));
  await waitFor(() => expect(printed).toHaveLength(2));
  expect(printed[1]).toContain('Late: ask the supervisor before you start.');
  expect(printed[1]).toContain('Do not enter: closed until');
  expect(boxes).toBe(2);
});

test('two ticks for different days are a finding: the choice sees both, and strikes out the event of the other day', async () => {
  const ticks = [
    { on: '2026-11-20', by: SOL, name: 'Sol', events: ['e1'] },
    { on: '2026-11-21', by: MIREL, name: 'Mirel', events: ['e2', 'e3'] },
  ];
  const register = { of: 'late', fields: { done_on: { live: ['t1', 't2'] }, done_by: { live: ['t1', 't2'] } } };
  cleanup();
  render(<TwoDays rows={[{ item: item({ ticks }), register: register as unknown as Register }]} isReady />);
  part('Ticked for two days').getByText('Sol');
  fireEvent.click(screen.getByRole('button', { name: /^Keep .*21/ }));
  await waitFor(() => expect(save).toHaveBeenCalled());
  expect(save.mock.calls[0]?.[0]).toMatchObject([
    { kind: 'task', body: { of: 'late', saw: ['t1', 't2'], done_on: '2026-11-21', done_by: MIREL } },
    { kind: 'void', body: { names: 'e1', records: ['fact:e1'] } },
  ]);
  expect(isOnTwoDays({ item: item({ ticks: ticks.slice(0, 1) }), register: undefined })).toBe(false);
});

// Only an open dialog has anything in it.
const dialog = async () =>
  within((await screen.findByRole('button', { name: 'Close', hidden: true })).closest<HTMLElement>('dialog')!);

test('work in one’s own words is written down with its person and day; without words it is not', async () => {
  const button = screen.getByRole<HTMLButtonElement>('button', { name: 'Add work' });
  await waitFor(() => expect(button.disabled).toBe(false));
  fireEvent.click(button);
  const form = await dialog();
  const save1 = await form.findByRole('button', { name: 'Save', hidden: true });
  fireEvent.click(save1);
  await waitFor(() => expect(form.getAllByText(/What is to be done/).length).toBeGreaterThan(1));
  expect(save).not.toHaveBeenCalled();
  fireEvent.input(form.getByLabelText('What is to be done'), { target: { value: 'Move the fans' } });
  fireEvent.change(form.getByLabelText('Handed to'), { target: { value: SOL } });
  fireEvent.change(form.getByLabelText('Lot'), { target: { value: 'l1' } });
  fireEvent.change(form.getByLabelText('What is noted when it is done'), { target: { value: 'loss' } });
  const due = form.getByLabelText('Last day');
  fireEvent.input(due, { target: { value: '2001-01-01' } });
  await form.findAllByText(/^This day has passed/);
  fireEvent.input(due, { target: { value: '2999-01-01' } });
  fireEvent.click(save1);
  await waitFor(() => expect(save).toHaveBeenCalled());
  expect(save.mock.calls[0]?.[0]).toMatchObject([
    {
      kind: 'task',
      lot: 'l1',
      body: { saw: [], words: 'Move the fans', person: SOL, due_on: '2999-01-01', lot: 'l1', form: 'loss' },
    },
  ]);
  await waitFor(() => expect(screen.queryByLabelText('What is to be done')).toBeNull());
});

test('of a step the day is set and handed out with its lot; work in words is called off', async () => {
  const button = screen.getByRole<HTMLButtonElement>('button', { name: /^Change into the cooler, AZ-118/ });
  await waitFor(() => expect(button.disabled).toBe(false));
  fireEvent.click(button);
  const form = await dialog();
  fireEvent.input(await form.findByLabelText('Last day'), { target: { value: '2999-01-01' } });
  expect(form.queryByLabelText('What is to be done')).toBeNull();
  fireEvent.click(form.getByRole('button', { name: 'Save', hidden: true }));
  await waitFor(() => expect(save).toHaveBeenCalled());
  expect(save.mock.calls[0]?.[0]).toMatchObject([
    { kind: 'task', body: { of: 'late', lot: 'd'.repeat(32), step: 'into_cooler', due_on: '2999-01-01' } },
  ]);
  await callOff(item({ task: 'free', step: '', words: 'Sweep', lot: '' }), undefined, 'Called off: Sweep');
  expect(save.mock.calls[1]?.[0]).toMatchObject([{ kind: 'task', body: { of: 'free', cancelled: true } }]);
});
