/** A list of lots that is longer than a page: found, sorted and filtered at the server, and never drawn whole. */
import { cleanup, fireEvent, render, screen, waitFor, within } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { LotsPage } from '../../../../../schema/types';
import { json, problem } from '../../../journal/answers.testing';
import { me } from '../../../state';
import { speak } from '../../../words';
import * as sample from '../sample.testing';
import Lots from './Lots';

const all = Array.from({ length: 504 }, (_, i) =>
  sample.lotBrief(`lot${i}`, { tag: `T${i}`, crop: i % 4 === 0 ? 'hydrangea' : 'azalea', pots: (i * 37) % 1_000 }),
);

/** As the server pages: here by number, since nothing arrives meanwhile. */
function pageOf(query: URLSearchParams): LotsPage {
  const found = all.filter(
    ({ tag, crop }) =>
      tag.toLowerCase().includes((query.get('search') ?? '').toLowerCase()) && [crop, null].includes(query.get('crop')),
  );
  if (query.get('sort') === 'pots') found.sort((a, b) => (query.get('down') ? b.pots - a.pots : a.pots - b.pots));
  const from = Number(query.get('after') ?? 0);
  const next = from + 100 < found.length ? String(from + 100) : '';
  const counts = { all: all.length, count: found.length, crops: ['azalea', 'hydrangea'] };
  return { lots: found.slice(from, from + 100), ...counts, next };
}

beforeEach(async () => {
  await speak('en');
  vi.stubGlobal('fetch', async (path: string) => {
    const url = new URL(path, 'http://nursery');
    if (url.pathname !== '/api/views/lots') return problem(404, 'not_found');
    return json(pageOf(url.searchParams));
  });
  me.value = { role: 'owner', site_name: 'Quillfen' } as NonNullable<typeof me.value>;
  render(<Lots />);
  await screen.findByText('Page 1 of 6');
});

afterEach(() => {
  cleanup();
  vi.restoreAllMocks();
});

function tags(): string[] {
  return within(screen.getByRole('table'))
    .getAllByRole('rowheader')
    .map((cell) => /T\d+/.exec(cell.textContent ?? '')?.[0] ?? '');
}

test('pages forward and back draw one page each, and every lot is on one of them', async () => {
  const seen = new Set<string>();
  for (let page = 1; ; page++) {
    await screen.findByText(`Page ${page} of 6`);
    await waitFor(() => expect(seen.has(tags()[0]!)).toBe(false));
    expect(tags().length).toBeLessThanOrEqual(100);
    for (const tag of tags()) seen.add(tag);
    const next = screen.queryByRole('button', { name: 'Next page' });
    if (!next) break;
    fireEvent.click(next);
  }
  expect(seen.size).toBe(504);
  fireEvent.click(screen.getByRole('button', { name: 'Previous page' }));
  await screen.findByText('Page 5 of 6');
});

test('the order is of all lots, and begins at its first page', async () => {
  fireEvent.click(screen.getByRole('button', { name: 'Next page' }));
  await screen.findByText('Page 2 of 6');
  const by = () => screen.getByRole('button', { name: /^Pots/ });
  fireEvent.click(by());
  await waitFor(() => expect(tags()[0]).toBe('T0'));
  expect(screen.getByText('Page 1 of 6')).toBeDefined();
  fireEvent.click(by());
  const most = all.toSorted((a, b) => b.pots - a.pots)[0]!;
  await waitFor(() => expect(tags()[0]).toBe(most.tag));
});

test('what is typed and chosen is looked for among all lots, and the field keeps what stands in it meanwhile', async () => {
  const field = screen.getByLabelText<HTMLInputElement>('Tag or cultivar');
  field.focus();
  fireEvent.input(field, { target: { value: 'T503' } });
  await waitFor(() => expect(tags()).toEqual(['T503']));
  expect(document.activeElement).toBe(field);
  expect(screen.getByText('1 of 504 lots')).toBeDefined();
  fireEvent.change(screen.getByLabelText('Crop'), { target: { value: 'hydrangea' } });
  fireEvent.click(await screen.findByRole('button', { name: 'Clear' }));
  await screen.findByText('Page 1 of 6');
  expect(field.value).toBe('');
});

test('the printer receives the whole list, of which the screen keeps one page', async () => {
  let drawn = 0;
  vi.stubGlobal('print', () => {
    drawn = document.querySelectorAll('.for-printer tbody tr').length;
  });
  fireEvent.click(screen.getByRole('button', { name: 'Print all 504' }));
  await waitFor(() => expect(drawn).toBe(504));
  dispatchEvent(new Event('afterprint'));
  await waitFor(() => expect(document.querySelectorAll('tbody tr')).toHaveLength(100));
});
