import { cleanup, render, screen, waitFor } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { afterEach, expect, test, vi } from 'vitest';
import { syncStatus } from '../../../journal/worker/syncClient';
import { ready } from '../../../journal/records/registers';
import { access, me, startState } from '../../../state';
import { Pair } from './Pair';

vi.mock('../../work/scan/warm', () => ({ warm: () => undefined }));

afterEach(() => {
  cleanup();
  vi.unstubAllGlobals();
});

const answers = {
  '/api/pair': {
    device: 'd'.repeat(16),
    device_name: 'phone',
    inc: 1,
    person: 'a'.repeat(32),
    person_name: 'Ana',
    role: 'scout',
    site_name: 'Quillfen',
    epoch: 'e1',
    head: 5,
    high: 0,
    server_now: 1_800_000_000_000,
    build: '',
  },
};

test('a link sends its code once, however often the screen is drawn, and clears what was said of this phone before', async () => {
  const asked: string[] = [];
  vi.stubGlobal('fetch', (path: keyof typeof answers) => {
    asked.push(path);
    return Promise.resolve(
      new Response(JSON.stringify(answers[path]), { headers: { 'content-type': 'application/json' } }),
    );
  });
  await startState();
  syncStatus.value = { ...syncStatus.value, state: 'unpaired', nextTryAt: 1 };
  expect(access.value).toBe('unpaired');
  ready.value = true;
  render(<Pair id="ABCD2345" />);
  cleanup();
  render(<Pair id="ABCD2345" />);
  await screen.findByRole('heading');
  await waitFor(() => expect(me.value?.person_name).toBe('Ana'));
  await waitFor(() => expect(access.value).toBe(''));
  expect(asked.filter((path) => path === '/api/pair')).toHaveLength(1);
  // The long first reading has begun, and the server has said who this is.
  syncStatus.value = { ...syncStatus.value, state: 'syncing', welcome: true };
  expect(access.value).toBe('');
  syncStatus.value = { ...syncStatus.value, state: 'revoked', welcome: false };
  expect(access.value).toBe('revoked');
});
