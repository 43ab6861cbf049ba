/** A form that was opened from the work list ticks its task when it notes just that step, and says so before it is saved. */
import { cleanup, fireEvent, render, screen, waitFor } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { Intent } from '../../journal/store/shape';
import { go } from '../../router';
import { me } from '../../state';
import { speak } from '../../words';
import { dayOf } from '../../forms/days';
import { FreeWords } from './forms/FreeWords';
import { StepUp } from './forms/StepUp';
import { WorkDone } from './forms/WorkDone';

const { save } = vi.hoisted(() => ({ save: vi.fn() }));
vi.mock('../../journal/outbox/write', async (actual) => ({ ...(await actual<object>()), save }));
vi.mock('../../journal/inbox/arriving', async (actual) => ({
  ...(await actual<object>()),
  firstReading: { value: undefined },
}));
vi.mock('../../journal/records/registers', async (actual) => ({
  ...(await actual<object>()),
  lots: { value: new Map([['l1', { id: 'l1', tag: 'AZ-118' }]]) },
  stock: { value: new Map([['l1', { pots: 300, by_span: { '': 300 }, lines: [] }]]) },
}));

const place = { lot: 'l1', bed: '' };

beforeEach(async () => {
  await speak('en');
  save.mockReset().mockImplementation(async (notes: Intent[]) => notes.map((each) => ({ entry: { ...each } })));
  me.value = { role: 'scout', person: 'p1', device: 'd1' } as NonNullable<typeof me.value>;
});
afterEach(() => {
  cleanup();
  go('/', { instead: true });
});

test('of the last pinch it is asked whether it was a pinch or a clip, and without “last” the task stays open', async () => {
  go('/work/event?lot=l1&task=t1&step=last_pinch');
  render(<WorkDone place={place} />);
  await screen.findByText('Saving this does not tick “last pinch or clip”: choose “clipped / pinched” for that.');
  fireEvent.click(screen.getByLabelText('hardened off'));
  await screen.findByText(/^Saving this does not tick/);
  fireEvent.click(screen.getByLabelText('pinched'));
  await screen.findByText('Saving this also ticks “last pinch or clip” in the work list.');
  const last = screen.getByLabelText<HTMLInputElement>('It was the lot’s last pinch or clip');
  expect(last.checked).toBe(true);
  fireEvent.click(last);
  await screen.findByText(/^Saving this does not tick “last pinch or clip”: say below/);
  fireEvent.click(screen.getByText('Save'));
  await waitFor(() => expect(save).toHaveBeenCalledTimes(1));
  expect(save.mock.calls[0]?.[0]).toMatchObject([{ kind: 'event', body: { what: 'pinched' } }]);
  expect(save.mock.calls[0]?.[0]).toHaveLength(1);
  expect(save.mock.calls[0]?.[0][0].body).not.toHaveProperty('task');
});

test('the tick has the day of the form and the person at the phone, and the event names its task', async () => {
  go('/work/event?lot=l1&task=t2&step=last_pinch');
  render(<WorkDone place={place} />);
  fireEvent.click(await screen.findByLabelText('clipped'));
  fireEvent.input(screen.getByLabelText('Day', { selector: 'input[type=date]' }), { target: { value: '2026-05-04' } });
  await screen.findByText(/^Saving this also ticks/);
  fireEvent.click(screen.getByText('Save'));
  await waitFor(() => expect(save).toHaveBeenCalledTimes(1));
  expect(save.mock.calls[0]?.[0]).toMatchObject([
    { kind: 'event', body: { what: 'clipped', on: '2026-05-04', last: true, task: 't2' } },
    { kind: 'task', lot: 'l1', body: { of: 't2', saw: [], done_on: '2026-05-04', done_by: 'p1' } },
  ]);
});

test('a step-up that leaves pots behind does not tick the step', async () => {
  go('/work/step?lot=l1&task=t3&step=into_liner');
  render(<StepUp place={place} />);
  await screen.findByText('Saving this also ticks “potted as liner” in the work list.');
  const pots = screen.getByRole<HTMLInputElement>('textbox', { name: 'How many pots' });
  expect(pots.value).toBe('300');
  fireEvent.input(pots, { target: { value: '290' } });
  await screen.findByText('Saving this does not tick “potted as liner”: 10 pots of the lot are left to step up.');
  fireEvent.input(screen.getByRole('textbox', { name: 'Dumped at step-up' }), { target: { value: '10' } });
  await screen.findByText('Saving this also ticks “potted as liner” in the work list.');
});

test('work in somebody’s own words is ticked by the form that they named for it, with today’s day', async () => {
  go('/work/note?lot=l1&task=t4&step=');
  render(<FreeWords place={place} />);
  await screen.findByText(/^Saving this also ticks/);
  fireEvent.input(screen.getByRole('textbox'), { target: { value: 'swept' } });
  fireEvent.click(screen.getByText('Save'));
  await waitFor(() => expect(save).toHaveBeenCalledTimes(1));
  expect(save.mock.calls[0]?.[0]).toMatchObject([
    { kind: 'note' },
    { kind: 'task', lot: 'l1', body: { of: 't4', done_on: dayOf(Date.now()), done_by: 'p1' } },
  ]);
});

test('a form that was opened by itself ticks nothing', async () => {
  go('/work/event?lot=l1');
  render(<WorkDone place={place} />);
  fireEvent.click(await screen.findByLabelText('clipped'));
  expect(screen.queryByText(/ticks? “/)).toBeNull();
});
