/** A bed beside the list that led to it, and another one laid beside it. */
import { cleanup, fireEvent, render, screen, waitFor, within } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { answerOf } from '../../../journal/answers.testing';
import { go, route } from '../../../router';
import { speak } from '../../../words';
import { attentionView } from '../sample-attention.testing';
import * as sample from '../sample.testing';
import Bed from './Bed';

let answers: { [path: string]: unknown };

beforeEach(async () => {
  await speak('en');
  vi.spyOn(Date, 'now').mockReturnValue(sample.now);
  answers = {
    '/api/views/beds': sample.bedsView,
    '/api/views/attention': attentionView,
    '/api/views/beds/b14': sample.bedView,
  };
  vi.stubGlobal('fetch', async (path: string) => answerOf(answers, path));
});

afterEach(() => {
  cleanup();
  go('/', { instead: true });
  vi.restoreAllMocks();
});

test('keeps the filter of the list that it was opened from: the beds beside it, and the way back', async () => {
  go('/beds/b14?house=h2&view=table', { instead: true });
  render(<Bed id="b14" />);
  const around = within(await screen.findByRole('navigation', { name: 'Other beds' }));
  expect(await around.findByText('1 of 4')).toBeTruthy();
  const leadsTo = (name: string) => around.getByRole('link', { name }).getAttribute('href');
  expect(leadsTo('Bed 15 ›')).toBe('/beds/b15?house=h2&view=table');
  expect(leadsTo('Beds')).toBe('/beds?house=h2&view=table');
});

test('a bed that nobody has walked names its lots, however many stand on it', async () => {
  const spans = Array.from({ length: 8 }, (_, i) => ({
    span: `s${i}`,
    lot: `l${i}`,
    tag: `MX-${i + 1}`,
    crop: 'azalea',
    cultivar: 'Tarn Blush',
    pot_mm: 165,
    from_row: 8 * i + 1,
    to_row: 8 * i + 8,
    pots: 70,
  }));
  const { score: _, ...bed } = sample.bedView.bed;
  answers['/api/views/beds/b14'] = { ...sample.bedView, bed: { ...bed, spans } };
  go('/beds/b14', { instead: true });
  render(<Bed id="b14" />);
  expect((await screen.findByRole('link', { name: 'MX-8 Tarn Blush' })).getAttribute('href')).toBe('/lots/l7');
  expect(screen.getAllByRole('link', { name: /^MX-/ })).toHaveLength(8);
  screen.getByText('rows 57 to 64 · 70 pots');
});

test('lays another bed beside it, with the difference and its interval', async () => {
  const other = sample.bedsView.houses[0]!.beds[1]!;
  const uniformity = { ...other.score!.uniformity, value: 0.51, interval: { low: 0.41, high: 0.61, known: true } };
  answers['/api/views/beds/b15'] = {
    ...sample.bedView,
    bed: { ...other, score: { ...other.score!, uniformity } },
  };
  go('/beds/b14?pin=b15', { instead: true });
  render(<Bed id="b14" />);
  const table = await screen.findByRole('region', { name: 'Bed 14 and Bed 15' });
  const [first] = within(table).getAllByRole('row').slice(1);
  // By hand (MOVER): 81 less 51 is 30, less sqrt(11^2 + 10^2), and more sqrt(7^2 + 10^2).
  expect(first?.textContent).toBe('Uniformity81 (70 to 88)51 (41 to 61)+30 (+15 to +42)');
  expect(first?.querySelector('b')).not.toBeNull();
  // A 90 % interval of no difference leaves out 0 in 1 of 10 cases, and there are six lines.
  expect(screen.getByText(/chance alone makes about one of ten lines bold/)).toBeTruthy();
});

test('uniformities of two traits are not set against each other: each is compared with its own', async () => {
  const other = sample.bedsView.houses[0]!.beds[1]!;
  answers['/api/views/beds/b15?walk=walk2'] = {
    ...sample.bedView,
    bed: { ...other, score: { ...other.score!, limiting_trait: 'head' } },
  };
  go('/beds/b14?pin=b15&pinwalk=walk2', { instead: true });
  render(<Bed id="b14" />);
  const table = await screen.findByRole('region', { name: 'Bed 14 and Bed 15' });
  const names = within(table)
    .getAllByRole('rowheader')
    .map(({ textContent }) => textContent);
  expect(names).toContain('Head, uniformity');
  expect(names).not.toContain('Uniformity');
});

test('a walk that is chosen while it lies beside the other changes places with it, and is not compared with itself', async () => {
  answers['/api/views/beds/b14?walk=walk3'] = { ...sample.bedView, walk: 'walk3' };
  go('/beds/b14?pin=b14&pinwalk=walk3', { instead: true });
  render(<Bed id="b14" />);
  await screen.findByText('Out of 100 pots');
  fireEvent.change(screen.getByRole('combobox', { name: 'Walk' }), { target: { value: 'walk3' } });
  expect(route.value.query.get('walk')).toBe('walk3');
  expect(route.value.query.get('pinwalk')).toBe('walk4');
});

// By hand: with a mean of 310 mm and 10 % to either side the band is 279 to 341 mm.
test.each([
  ['in the band', 310, 304, 0],
  ['under it', 270, 274, 1],
  ['over it', 350, 344, 1],
])('a pot whose head is %s is marked so on the strip as in the plot under it', async (_, a, b, out) => {
  const [pot] = sample.bedView.pots;
  const of = { ...pot!, now: { ...pot!.now, head_a_mm: a, head_b_mm: b } };
  answers['/api/views/beds/b14'] = { ...sample.bedView, pots: [of, ...sample.bedView.pots.slice(1)] };
  go('/beds/b14', { instead: true });
  const { container } = render(<Bed id="b14" />);
  await screen.findByText('head size outside the lot’s band (open marks)');
  // The bed of the visit before is shown until this one has come.
  await waitFor(() => expect(container.querySelectorAll('.above-axis .pot.seen.out')).toHaveLength(out));
  const strip = container.querySelector('.above-axis');
  expect(strip?.querySelectorAll('.pot.seen')).toHaveLength(1);
  expect(container.querySelectorAll('.plot circle.dot.odd[r="4.5"]').length > 0).toBe(out === 1);
  // The other pot shows rot and is in the band: a ring with a core.
  expect(strip?.querySelectorAll('.core')).toHaveLength(1);
});

test('somebody can be sent to a bed from its own page, with what was found there', async () => {
  go('/beds/b14', { instead: true });
  render(<Bed id="b14" />);
  const all = await screen.findAllByRole('button', { name: 'Send a scout' });
  fireEvent.click(all.at(-1)!);
  expect((await screen.findByLabelText<HTMLTextAreaElement>('What to do')).value).toMatch(/^Check again: Bed 14/);
});
