/** The nursery's name and time zone, of which only what was changed is written. */
import { cleanup, fireEvent, render, screen, waitFor } from '@testing-library/preact';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { me } from '../../../state';
import { speak } from '../../../words';
import { NurseryName } from './NurseryName';

const save = vi.hoisted(() => vi.fn());
const sites = vi.hoisted(() => ({ value: new Map<string, object>() }));
const people = vi.hoisted(() => ({ value: new Map<string, object>() }));
vi.mock('../../../journal/outbox/write', () => ({ save, intent: (kind: string, body: object) => ({ kind, body }) }));
vi.mock('../../../journal/records/registers', () => ({ sites, people, seenOf: () => ['e1'] }));

beforeEach(() => {
  save.mockReset().mockResolvedValue([]);
  people.value = new Map();
});
afterEach(async () => {
  cleanup();
  await speak('en');
});

const button = () => screen.getByRole<HTMLButtonElement>('button');

test.each([
  ['en', 'Time zone'],
  ['es', 'Zona horaria'],
] as const)('of a nursery without a time zone this computer’s is saved with a tap, in %s', async (language, label) => {
  await speak(language);
  sites.value = new Map([['s1', { id: 's1', name: 'Quillfen' }]]);
  render(<NurseryName />);
  const own = new Intl.DateTimeFormat().resolvedOptions().timeZone;
  expect(screen.getByLabelText<HTMLSelectElement>(label).value).toBe(own);
  fireEvent.click(button());
  await waitFor(() =>
    expect(save).toHaveBeenCalledWith([{ kind: 'site', body: { of: 's1', saw: ['e1'], time_zone: own } }]),
  );
});

test('another zone is chosen, and the name is not written over', async () => {
  sites.value = new Map([['s1', { id: 's1', name: 'Quillfen', time_zone: 'America/New_York' }]]);
  render(<NurseryName />);
  expect(button().disabled).toBe(true);
  fireEvent.change(screen.getByLabelText('Time zone'), { target: { value: 'America/Los_Angeles' } });
  fireEvent.click(button());
  await waitFor(() => expect(save).toHaveBeenCalledOnce());
  expect(save.mock.calls[0]?.[0]).toEqual([
    { kind: 'site', body: { of: 's1', saw: ['e1'], time_zone: 'America/Los_Angeles' } },
  ]);
});

test('the owner of a new nursery says their own name beside the nursery’s, in one save', async () => {
  sites.value = new Map([['s1', { id: 's1', name: 'Nursery' }]]);
  people.value = new Map([['p1', { id: 'p1', name: 'Owner' }]]);
  me.value = { person: 'p1' } as NonNullable<typeof me.value>;
  render(<NurseryName />);
  fireEvent.input(screen.getByLabelText('The nursery’s name'), { target: { value: 'Quillfen' } });
  fireEvent.input(screen.getByLabelText('Your name'), { target: { value: ' ' } });
  fireEvent.click(button());
  expect(await screen.findByText(/^Your name is empty/)).toBeDefined();
  expect(save).not.toHaveBeenCalled();
  fireEvent.input(screen.getByLabelText('Your name'), { target: { value: 'Orla Venn' } });
  fireEvent.click(button());
  await waitFor(() => expect(save).toHaveBeenCalledOnce());
  expect(save.mock.calls[0]?.[0]).toMatchObject([
    { kind: 'site', body: { name: 'Quillfen' } },
    { kind: 'person', body: { of: 'p1', name: 'Orla Venn' } },
  ]);
  me.value = undefined;
});
