/** A view that was once shown stays on the screen while the server cannot give a newer one, and the page says why. */
import 'fake-indexeddb/auto';
import { cleanup, render, screen, waitFor } from '@testing-library/preact';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { json, never, problem } from '../journal/answers.testing';
import { Page } from '../screens/supervisor/Page';
import { me } from '../state';
import { refresh, useView } from './views';

let answer: (init?: RequestInit) => Response | Promise<Response>;
let path: string;
let paths = 0;

beforeEach(() => {
  path = `beds/${paths++}`;
  vi.stubGlobal('fetch', async (_path: string, init?: RequestInit) => answer(init));
  me.value = { role: 'owner', site_name: 'Quillfen' } as NonNullable<typeof me.value>;
});

afterEach(() => {
  cleanup();
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
});

function Shown() {
  const loaded = useView<{ name: string }>(path);
  return (
    <Page here="beds" title={() => 'Bed'} loaded={loaded} onTryAgain={() => undefined}>
      {({ name }) => <p>{name}</p>}
    </Page>
  );
}

async function showsOnce(): Promise<void> {
  answer = () => json({ name: 'Bed 14' });
  render(<Shown />);
  await screen.findByText('Bed 14');
}

/** Each wait for an answer is over at once, as after the time that the client waits. */
function timeIsUp(): void {
  vi.spyOn(AbortSignal, 'timeout').mockImplementation(() => {
    const waiting = new AbortController();
    setTimeout(() => waiting.abort(new DOMException('', 'TimeoutError')));
    return waiting.signal;
  });
}

const html = () => new Response('<html>Welcome</html>', { headers: { 'content-type': 'text/html' } });

test.each([
  ['a connection that hangs', (init?: RequestInit) => never(init?.signal), /The server is slow/],
  ['a 503', () => problem(503, 'unavailable'), /cannot answer right now/],
  ['a proxy’s 502 page', () => new Response('<html>Bad gateway</html>', { status: 502 }), /cannot answer right now/],
  ['a portal’s page', html, /may want you to sign in/],
  ['a portal’s "no content"', () => new Response(null, { status: 204 }), /may want you to sign in/],
  ['no network', () => Promise.reject(new TypeError('Failed to fetch')), /cannot be reached/],
])('%s leaves the kept view on the screen, and the page says so', async (_, trouble, says) => {
  await showsOnce();
  timeIsUp();
  answer = trouble;
  await refresh(path);
  expect(await screen.findByText(says)).toBeDefined();
  expect(screen.getByText('Bed 14')).toBeDefined();
  answer = () => json({ name: 'Bed 15' });
  vi.restoreAllMocks();
  await refresh(path);
  await screen.findByText('Bed 15');
  expect(screen.queryByText(says)).toBeNull();
});

test.each([
  ['is not paired any more', () => problem(401, 'unpaired'), /is not paired/],
  ['was revoked', () => problem(403, 'revoked'), /access was revoked/],
  ['may not see the page', () => problem(403, 'not_allowed'), /is for supervisors/],
])('a device that %s is shown nothing from an earlier visit', async (_, refused, says) => {
  await showsOnce();
  answer = refused;
  await refresh(path);
  expect(await screen.findByText(says)).toBeDefined();
  expect(screen.queryByText('Bed 14')).toBeNull();
});

test('a first visit that meets a portal says so, and what to do', async () => {
  answer = html;
  render(<Shown />);
  await waitFor(() => expect(screen.getByRole('alert').textContent).toMatch(/Open any web page, sign in/));
});
