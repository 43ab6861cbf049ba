/** The nursery's name and time zone, of which only what was changed is written. */
import { cleanup, fireEvent, render, screen, waitFor } from '@testing-library/preact';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { speak } from '../../../words';
import { NurseryName } from './NurseryName';

const note = vi.hoisted(() => vi.fn());
const sites = vi.hoisted(() => ({ value: new Map<string, object>() }));
vi.mock('../../../journal/outbox/write', () => ({ note }));
vi.mock('../../../journal/records/registers', () => ({ sites, seenOf: () => ['e1'] }));

beforeEach(() => note.mockReset().mockResolvedValue(undefined));
afterEach(async () => {
  cleanup();
  await speak('en');
});

const save = () => screen.getByRole<HTMLButtonElement>('button');

test.each([
  ['en', 'Time zone'],
  ['es', 'Zona horaria'],
] as const)('of a nursery without a time zone this computer’s is saved with a tap, in %s', async (language, label) => {
  await speak(language);
  sites.value = new Map([['s1', { id: 's1', name: 'Quillfen' }]]);
  render(<NurseryName />);
  const own = new Intl.DateTimeFormat().resolvedOptions().timeZone;
  expect(screen.getByLabelText<HTMLSelectElement>(label).value).toBe(own);
  fireEvent.click(save());
  await waitFor(() => expect(note).toHaveBeenCalledWith('site', { of: 's1', saw: ['e1'], time_zone: own }));
});

test('another zone is chosen, and the name is not written over', async () => {
  sites.value = new Map([['s1', { id: 's1', name: 'Quillfen', time_zone: 'America/New_York' }]]);
  render(<NurseryName />);
  expect(save().disabled).toBe(true);
  fireEvent.change(screen.getByLabelText('Time zone'), { target: { value: 'America/Los_Angeles' } });
  fireEvent.click(save());
  await waitFor(() => expect(note).toHaveBeenCalledOnce());
  expect(note.mock.calls[0]?.[1]).toEqual({ of: 's1', saw: ['e1'], time_zone: 'America/Los_Angeles' });
});
