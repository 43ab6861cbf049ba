import { cleanup, fireEvent, render, screen, waitFor } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { afterEach, expect, test, vi } from 'vitest';
import { syncStatus } from '../../../journal/worker/syncClient';
import { ready } from '../../../journal/records/registers';
import { access, me, startState } from '../../../state';
import { saidNow } from '../../../parts/Toast';
import { speak } from '../../../words';
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

test.each([
  ['en', 'Mozilla/5.0 (X11; Linux x86_64) Chrome/140.0', 'Computer'],
  ['es', 'Mozilla/5.0 (Windows NT 10.0; Win64; x64) Chrome/140.0', 'Computadora'],
  ['en', 'Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X)', 'iPhone'],
  ['es', 'Mozilla/5.0 (Linux; Android 15; Pixel 9) Chrome/140.0 Mobile', 'Teléfono Android'],
] as const)('proposes in %s a name of what the device is: %s', async (language, agent, name) => {
  await speak(language);
  vi.stubGlobal('navigator', { ...navigator, userAgent: agent });
  render(<Pair />);
  expect(screen.getByDisplayValue(name)).toBeDefined();
  await speak('en');
});

test('a link asks what the device is called before its code is sent, and clears what was said of this device before', async () => {
  const asked: string[] = [];
  const sent: unknown[] = [];
  vi.stubGlobal('fetch', (path: keyof typeof answers, init?: RequestInit) => {
    asked.push(path);
    if (init?.body) sent.push(JSON.parse(init.body as string));
    return Promise.resolve(
      new Response(JSON.stringify(answers[path]), { headers: { 'content-type': 'application/json' } }),
    );
  });
  await startState();
  syncStatus.value = { ...syncStatus.value, state: 'unpaired', nextTryAt: 1 };
  expect(access.value).toBe('unpaired');
  ready.value = true;
  render(<Pair id="ABCD2345" />);
  fireEvent.input(screen.getByLabelText(/called/), { target: { value: 'Shed 3' } });
  expect(asked).toEqual([]);
  fireEvent.click(screen.getByRole('button', { name: 'Pair' }));
  await waitFor(() => expect(me.value?.person_name).toBe('Ana'));
  await waitFor(() => expect(access.value).toBe(''));
  expect(asked.filter((path) => path === '/api/pair')).toHaveLength(1);
  expect(sent).toContainEqual(expect.objectContaining({ code: 'ABCD2345', name: 'Shed 3' }));
  // The long first reading has begun, and the server has said who this is.
  syncStatus.value = { ...syncStatus.value, state: 'syncing', welcome: true };
  expect(access.value).toBe('');
  syncStatus.value = { ...syncStatus.value, state: 'revoked', welcome: false };
  expect(access.value).toBe('revoked');
});

test('who is welcomed is welcomed in the language of the screen, also where its words came while the code was on its way', async () => {
  const answer: ((response: Response) => void)[] = [];
  vi.stubGlobal('fetch', () => new Promise<Response>((done) => void answer.push(done)));
  me.value = undefined;
  ready.value = true;
  await speak('en');
  render(<Pair id="BCDF2346" />);
  fireEvent.click(screen.getByRole('button', { name: 'Pair' }));
  await waitFor(() => expect(answer).toHaveLength(1));
  await speak('es');
  answer.pop()?.(
    new Response(JSON.stringify(answers['/api/pair']), { headers: { 'content-type': 'application/json' } }),
  );
  await waitFor(() => expect(saidNow.value?.text).toBe('Listo. Hola, Ana.'));
  await speak('en');
});

test.each([
  ['en', 'other_nursery', /for another nursery.*its own nursery’s supervisor/],
  ['es', 'other_nursery', /de otro vivero.*encargado de su propio vivero/],
  ['es', 'code_used', /ya se usó/],
  ['es', 'a_code_of_later', /^What is wrong\. What to do\.$/],
] as const)('says in %s why the code pairs nothing: %s', async (language, code, text) => {
  await speak(language);
  vi.stubGlobal('fetch', () =>
    Promise.resolve(
      new Response(JSON.stringify({ code, status: 409, detail: 'What is wrong.', remedy: 'What to do.' }), {
        status: 409,
        headers: { 'content-type': 'application/problem+json' },
      }),
    ),
  );
  me.value = undefined;
  ready.value = true;
  render(<Pair id="BCDF2346" />);
  fireEvent.click(screen.getByRole('button', { name: language === 'en' ? 'Pair' : 'Vincular' }));
  expect((await screen.findByRole('alert')).textContent).toMatch(text);
  await speak('en');
});
