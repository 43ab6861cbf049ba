/** A bed can be the worst in two ways, and a ship week can be short of one crop while another has pots left: each says which. */
import { cleanup, render, screen, within } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { SupplyView, SupplyWeek } from '../../../../../schema/types';
import { answerOf } from '../../../journal/answers.testing';
import { speak } from '../../../words';
import { attentionView } from '../sample-attention.testing';
import * as sample from '../sample.testing';
import Beds from './Beds';
import { Promises } from './Promises';

beforeEach(() => vi.spyOn(Date, 'now').mockReturnValue(sample.now));
afterEach(() => {
  cleanup();
  vi.restoreAllMocks();
});

test.each([
  ['en', /Most urgent: Bed 14: Heads shrink toward the fan end.*Least even: Bed 16 40 .*, Bed 15 60 .*, Bed 14 81 /],
  ['es', /Lo más urgente: Cama 14: .*Las más disparejas: Cama 16 40 .*, Cama 15 60 .*, Cama 14 81 /],
] as const)('in %s the most urgent bed and the least even ones are told apart', async (language, said) => {
  await speak(language);
  const [house] = sample.bedsView.houses;
  const even = [0.81, 0.6, 0.4].map((value) => ({
    ...sample.score,
    uniformity: { ...sample.score.uniformity, value },
  }));
  const beds = house!.beds.slice(0, 3).map((bed, i) => ({ ...bed, score: even[i]! }));
  const answers = {
    '/api/views/beds': { ...sample.bedsView, houses: [{ ...house!, beds }] },
    '/api/views/attention': attentionView,
  };
  vi.stubGlobal('fetch', async (path: string) => answerOf(answers, path));
  const { container } = render(<Beds />);
  const urgent = await screen.findAllByRole('link', { name: /^(Bed|Cama) 14: / });
  // Once in the list, and once above the beds.
  expect(urgent).toHaveLength(2);
  expect(container.querySelector('.least')?.textContent).toMatch(said);
});

// By hand: of the azaleas 60 are short, and the hydrangeas' 200 fill none of their bookings.
test('what is not sure stands under its week with its crop and pot size', async () => {
  await speak('en');
  const grade = { grade: 'A', expected: 0, median: 0, sure: 300, lots_alone: 0, short: 0 };
  const week: SupplyWeek = {
    week: '2026-W50',
    by: '',
    season: 0.35,
    crop: 'azalea',
    pot_mm: 140,
    grades: [{ ...grade, low: 300, high: 420, booked: 360, safe: 0 }],
    lots: [],
    bookings: [],
    missing: 60,
    undecided: 0,
  };
  const other = {
    ...week,
    crop: 'hydrangea',
    missing: 0,
    grades: [{ ...grade, low: 250, high: 300, booked: 50, safe: 200 }],
  };
  render(<Promises view={{ weeks: [week, other] } as unknown as SupplyView} />);
  const rows = screen.getAllByRole('row').map((row) => row.textContent);
  expect(rows).toHaveLength(3);
  expect(rows[1]).toContain('200');
  expect(rows[1]).not.toContain('not sure');
  expect(rows[2]).toMatch(/^Azalea .*: 60 not sure$/i);
  expect(within(screen.getByRole('table')).getByRole('rowheader').getAttribute('rowspan')).toBe('2');
});
