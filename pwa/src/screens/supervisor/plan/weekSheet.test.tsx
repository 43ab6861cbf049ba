/** The weekly sheet says nothing of what has not come yet. */
import { cleanup, render, screen } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { afterEach, expect, test, vi } from 'vitest';
import type { BedsView } from '../../../../../schema/types';
import { json, problem } from '../../../journal/answers.testing';
import { me } from '../../../state';
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
