/** What an owner reads of several nurseries, and what is said where one of them, or the link, says nothing. */
import { act, cleanup, render, screen } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { CropBrief, GroupView, NurseryBrief } from '../../../../../schema/types';
import { speak } from '../../../words';
import Group from './Group';

const crop: CropBrief = {
  crop: 'azalea',
  beds: 9,
  scored: 7,
  median: 0.68,
  lowest: 0.47,
  highest: 0.94,
  least: {
    bed: 'R4',
    uniformity: { value: 0.47, interval: { low: 0.33, high: 0.6, known: true }, n: 40, known: true },
  },
  whole: 200,
  best: 150,
  graded: 190,
  early: 2,
};
const brief: NurseryBrief = {
  name: 'Quillfen',
  today: '2026-11-25',
  walked_at: Date.UTC(2026, 10, 24, 12),
  beds: 9,
  recent: 9,
  unfinished: 0,
  recent_days: 14,
  crops: [crop],
  weeks: [
    { week: '2026-W46', crop: 'azalea', over: true, booked: 300, shipped: 290, short: 10, undecided: 0 },
    { week: '2026-W53', crop: 'azalea', over: false, booked: 347, shipped: 0, short: 198, undecided: 7 },
  ],
  weeks_before: 8,
  weeks_after: 12,
  unplaced: 0,
};
const view: GroupView = { for: 'Mara Lind', made_at: 1, nurseries: [{ site: 'north', brief }] };

let sent: [path: string, init: RequestInit][] = [];

function answers(body: unknown, status = 200) {
  vi.stubGlobal('fetch', (path: string, init: RequestInit) => {
    sent.push([path, init]);
    return Promise.resolve(
      new Response(JSON.stringify(body), { status, headers: { 'content-type': 'application/problem+json' } }),
    );
  });
}

beforeEach(async () => {
  sent = [];
  location.hash = '#bedwalk_group_x';
  await speak('en');
});
afterEach(cleanup);

test('a nursery is shown with what it says, and the link is sent in a header without the cookie of a phone', async () => {
  answers(view);
  render(<Group />);
  await screen.findByText('R4: 47 (33 to 60)');
  const text = document.body.textContent;
  for (const part of [
    'For Mara Lind',
    '7 of 9',
    '68',
    '47 to 94',
    '150 of 200 (75',
    '2 lots',
    '347',
    '198',
    '290',
    '10',
    'The last 8 weeks.',
    'This week and the next 12.',
  ])
    expect(text).toContain(part);
  expect(text).not.toContain('What is missing');
  expect(sent).toHaveLength(1);
  expect(sent[0]?.[0]).toBe('/api/group');
  expect(sent[0]?.[1]).toMatchObject({
    headers: { authorization: 'Bearer bedwalk_group_x' },
    credentials: 'omit',
  });
});

test('nurseries of one name are told apart, and each says what it lacks', async () => {
  const idle = { ...brief, recent: 0, weeks: [], unplaced: 12 };
  const never = { ...brief, name: '', walked_at: 0, recent: 0, crops: [] };
  const empty = { ...never, name: 'Marl', beds: 0 };
  answers({
    ...view,
    nurseries: [
      { site: 'a', brief: { ...brief, recent: 4 } },
      { site: 'b', brief: idle },
      { site: 'c', brief: never },
      { site: 'd', brief: empty },
      { site: 'e', away: 'slow' },
      { site: 'f', away: 'not_served' },
      { site: 'g', away: 'failed' },
      { site: 'h', brief: { ...brief, unfinished: 1 } },
    ],
  });
  render(<Group />);
  await screen.findByText('What is missing');
  const lines = [...document.querySelectorAll('.missing li')].map((line) => line.textContent ?? '');
  expect(lines).toEqual([
    'Quillfen (a): 4 of 9 beds walked in the last 14 days.',
    expect.stringMatching(/^Quillfen \(b\): no walk in 14 days\. The last was on .*24.*\.$/),
    'Quillfen (b): nothing is booked for the last 8 weeks, this week or the next 12.',
    'Quillfen (b): 12 pots booked without a ship week, or of a lot that is not for sale. They are not in the weeks below.',
    'c: no bed has been walked yet.',
    'Marl: no lot is recorded on a bed.',
    'e did not answer in time. Update in a minute.',
    'f is not served at the moment. Its server’s terminal and log say why; one that was begun since needs a start of the server.',
    'g could not be read. The server’s log says why.',
    'Quillfen (h): 9 of 9 beds walked in the last 14 days. 1 of these walks was not finished.',
  ]);
});

test('a link that is not whole, unknown or revoked says so and shows nothing', async () => {
  const problem = (code: string, status: number) =>
    answers({ type: 'about:blank', title: '', status, code, detail: '', remedy: '' }, status);
  problem('link_revoked', 403);
  render(<Group />);
  await screen.findByText(/was revoked/);
  cleanup();
  problem('link_unknown', 401);
  render(<Group />);
  await screen.findByText(/opens nothing here/);
  cleanup();
  answers({ title: 'Sign in' });
  render(<Group />);
  await screen.findByText(/want you to sign in/);
  cleanup();
  location.hash = '';
  sent = [];
  render(<Group />);
  await screen.findByText(/lacks the part after #/);
  expect(sent).toEqual([]);
  expect(document.querySelector('table')).toBeNull();
});

test('of nurseries of which none answers nothing is said but that', async () => {
  answers({ ...view, nurseries: [{ site: 'a', away: 'slow' }] });
  render(<Group />);
  await screen.findByText(/a did not answer in time/);
  expect(document.body.textContent).not.toMatch(/No bookings|has a score/);
});

test('an answer that comes late is not shown under another link', async () => {
  const answer = (name: string) => ({
    status: 200,
    headers: new Headers({ 'content-type': 'application/json' }),
    text: () => Promise.resolve(JSON.stringify({ ...view, for: name })),
  });
  let late: (one: unknown) => void = () => undefined;
  const first = new Promise((resolve) => {
    late = resolve;
  });
  vi.stubGlobal('fetch', (_path: string, init: RequestInit) =>
    JSON.stringify(init.headers).includes('group_x') ? first : Promise.resolve(answer('Second')),
  );
  render(<Group />);
  location.hash = '#bedwalk_group_y';
  await screen.findByText('For Second');
  await act(async () => {
    late(answer('First'));
    await new Promise((done) => setTimeout(done));
  });
  expect(document.body.textContent).toContain('For Second');
});

test('a crop has its name in the reader’s language, and stands together however two nurseries spell it', async () => {
  await speak('es');
  const spelt = (site: string, name: string) => {
    const crops = [
      { ...crop, crop: name },
      { ...crop, crop: 'Rhododendron' },
    ];
    return { site, brief: { ...brief, crops, weeks: brief.weeks.map((week) => ({ ...week, crop: name })) } };
  };
  answers({ ...view, nurseries: [spelt('north', "florist's azalea"), spelt('south', 'Florist’s Azalea')] });
  render(<Group />);
  await screen.findAllByText('azalea de florista');
  const names = [...document.querySelectorAll('table:first-of-type tbody tr')].map(
    (row) => row.firstElementChild?.textContent,
  );
  expect(names.slice(0, 4)).toEqual(['azalea de florista', 'azalea de florista', 'Rhododendron', 'Rhododendron']);
  expect(document.body.textContent).not.toMatch(/florist.s azalea/i);
});
