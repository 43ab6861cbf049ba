/** The weekly sheet says nothing of what has not come yet. */
import { cleanup, render, screen } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { afterEach, expect, test, vi } from 'vitest';
import type { BedsView } from '../../../../../schema/types';
import { json, problem } from '../../../journal/answers.testing';
import { me } from '../../../state';
import * as sample from '../sample.testing';
import { WeekSheet } from './WeekSheet';

afterEach(cleanup);

test('while the ship weeks are missing it does not say that there are none, and says why they are missing', async () => {
  const phones = { paired: 0, equal: 0, pending: 0, last_at: 0, quarantined: 0 };
  const view: BedsView = { version: '', site: 'Quillfen', made_at: 1, head: 1, houses: [], phones };
  let fail: () => void = () => undefined;
  const failed = new Promise<void>((settle) => (fail = settle));
  vi.stubGlobal('fetch', (path: string) =>
    path === '/api/views/beds' ? Promise.resolve(json(view)) : failed.then(() => problem(503, 'busy')),
  );
  me.value = { role: 'supervisor', person: 'a'.repeat(32), site_name: 'Quillfen' } as typeof me.value;
  render(<WeekSheet />);
  await screen.findByText(/^Quillfen, as of/);
  expect(screen.queryByText('No lot has a ship week yet.')).toBeNull();
  screen.getByText('Getting the records from the server…');
  fail();
  await screen.findByText('The server cannot answer right now.');
});

test('beds that open together stand in one line: a house that was treated whole took the sheet over its one page', async () => {
  const until = Date.now() + 3_600_000;
  const bed = (name: string, closed_until: number) => ({
    ...sample.bedsView.houses[0]!.beds[0]!,
    id: name,
    name,
    closed_until,
  });
  const beds = [...['W1', 'W2', 'W3'].map((name) => bed(name, until)), bed('W4', until + 7_200_000), bed('W5', 0)];
  const houses = [{ ...sample.bedsView.houses[0]!, beds }];
  vi.stubGlobal('fetch', async (path: string) =>
    path === '/api/views/beds' ? json({ ...sample.bedsView, houses }) : problem(503, 'busy'),
  );
  const { container } = render(<WeekSheet />);
  await screen.findByText(/^W1, W2,? and W3 are closed until/);
  screen.getByText(/^W4 is closed until/);
  expect(container.textContent).not.toMatch(/W5 is closed/);
});
