/** A spread is taken over by a tap, and taken back by another: two notes, each of which a person made. */
import { cleanup, fireEvent, render, screen, waitFor } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { RightSpread, RightView } from '../../../../../schema/types';
import type { Intent } from '../../../journal/store/shape';
import { speak } from '../../../words';
import { Spreads } from './RightSpreads';

const { save, said } = vi.hoisted(() => ({ save: vi.fn(), said: vi.fn() }));
vi.mock('../../../journal/outbox/write', async (actual) => ({ ...(await actual<object>()), save }));
vi.mock('../../../parts/Toast', async (actual) => ({ ...(await actual<object>()), say: said }));
vi.mock('../../../journal/records/registers', async (actual) => ({
  ...(await actual<object>()),
  profiles: { value: new Map([['p1', { id: 'p1', crop: 'azalea', sharing_sd_milli: 350 }]]) },
  sites: { value: new Map([['s1', { id: 's1' }]]) },
  recordOf: (kind: string) => {
    const live = kind === 'profile' ? { sharing_sd_milli: { value: 350, live: ['e7'] } } : {};
    return { register: { of: kind, fields: live } };
  },
}));

beforeEach(async () => {
  await speak('en');
  said.mockReset();
  save.mockReset().mockImplementation((notes: Intent[]) => Promise.resolve(notes.map((note) => ({ entry: note }))));
});
afterEach(cleanup);

const season: RightSpread = {
  crop: 'azalea',
  stage: '',
  sd: 520,
  low: 380,
  high: 900,
  n: 24,
  groups: 4,
  now: 350,
  is_own: false,
  start: 350,
  most: 2000,
};
const pace: RightSpread = { ...season, stage: 'forcing', sd: 800, low: 300, high: 1500, now: 500, start: 500 };

function view(changes: Partial<RightSpread> = {}, ofPace: Partial<RightSpread> = {}): RightView {
  return {
    today: '2026-11-25',
    since: '2023-11-26',
    lots: [],
    waiting: 0,
    scores: [],
    tenths: [],
    least: 10,
    made_at: 1,
    seasons: [{ ...season, ...changes }],
    pace: { ...pace, ...ofPace },
  };
}

const button = (name: string | RegExp) => screen.getByRole<HTMLButtonElement>('button', { name });
/** The note of the last tap. */
const noted = (): unknown => (save.mock.lastCall as [Intent[]])[0].map(({ kind, body }) => ({ kind, body }));

test('the season’s spread is written to the crop by one tap, and Bedwalk’s own again by another', async () => {
  const { rerender } = render(<Spreads view={view()} />);
  expect(screen.queryByRole('button', { name: /^Back to/ })).toBeNull();
  fireEvent.click(button('Use 0.52 from now on'));
  expect(noted()).toEqual([{ kind: 'profile', body: { of: 'p1', saw: ['e7'], sharing_sd_milli: 520 } }]);
  await waitFor(() => expect(said).toHaveBeenCalledOnce());
  expect((said.mock.lastCall as [string])[0]).toBe('The plan assumes 0.52 from now on.');
  // Until the plan that is shown assumes it, a second tap would write it twice.
  expect(button('Use 0.52 from now on').disabled).toBe(true);
  rerender(<Spreads view={view({ now: 520, is_own: true })} />);
  expect(screen.queryByRole('button', { name: 'Use 0.52 from now on' })).toBeNull();
  expect(button('Back to 0.35').disabled).toBe(false);
  fireEvent.click(button('Back to 0.35'));
  expect(noted()).toEqual([{ kind: 'profile', body: { of: 'p1', saw: ['e7'], sharing_sd_milli: 350 } }]);
  await waitFor(() => expect(said).toHaveBeenCalledTimes(2));
  expect(button('Back to 0.35').disabled).toBe(true);
  rerender(<Spreads view={view({ is_own: true })} />);
  expect(button('Use 0.52 from now on').disabled).toBe(false);
});

test('the spread of springs is written to the nursery, and Undo gives the button back', async () => {
  render(<Spreads view={view()} />);
  fireEvent.click(button(/^Use 8/));
  expect(noted()).toEqual([{ kind: 'site', body: { of: 's1', saw: [], pace_bp: 800 } }]);
  await waitFor(() => expect(said).toHaveBeenCalledOnce());
  expect(button(/^Use 8/).disabled).toBe(true);
  (said.mock.lastCall as [string, () => void])[1]();
  await waitFor(() => expect(button(/^Use 8/).disabled).toBe(false));
  expect(save.mock.calls.map(([notes]) => (notes as Intent[])[0]?.kind)).toEqual(['site', 'void']);
});

test('what could not be saved is offered again', async () => {
  save.mockRejectedValue(new Error('full'));
  render(<Spreads view={view()} />);
  fireEvent.click(button('Use 0.52 from now on'));
  await waitFor(() => expect(button('Use 0.52 from now on').disabled).toBe(false));
  expect(save).toHaveBeenCalledOnce();
});

test('no more is offered than may be written, and nothing that the plan assumes already', () => {
  render(<Spreads view={view({ most: 400 }, { now: 800, is_own: true })} />);
  expect(screen.getAllByRole('button').map((each) => each.textContent)).toEqual([
    'Use 0.40 from now on',
    expect.stringMatching(/^Back to 5/),
  ]);
});
