/** The screens of a walk that is here in part: its pots can be noted and corrected, and nothing that is computed of the rest is shown. */
import 'fake-indexeddb/auto';
import { cleanup, fireEvent, render, screen, waitFor } from '@testing-library/preact';
import { afterEach, beforeAll, expect, test, vi } from 'vitest';
import { defaultJudged } from '../../../../../schema/kinds';
import { scoreBed } from '../../../../../sync/bed/bed';
import { bedInput } from '../../../../../sync/bed/input';
import type { PotRow } from '../../../journal/records/read';
import { speak } from '../../../words';
import { leave, open } from '../card/card';
import type { Course } from './course';
import { End } from './End';
import { Walk } from './Walk';

const held = vi.hoisted(() => ({ course: undefined as unknown, save: vi.fn() }));
vi.mock('../../../journal/outbox/write', async (load) => ({ ...(await load<object>()), save: held.save }));
vi.mock('./course', async (load) => ({ ...(await load<object>()), useCourse: () => held.course }));

const by = { entry: 'e', person: 'ana', device: 'd', stamp: { at: 1, quality: 'exact' as const, from: 1, to: 1 } };
const pots = Array.from({ length: 16 }, (_, i) => ({
  id: `p${i}`,
  first: by,
  by,
  versions: 1,
  now: {
    walk: 'w1',
    bed: 'b1',
    lot: 'l1',
    head_a_mm: 200 + (i % 5),
    buds: 20 + (i % 7),
    place: { row: 1 + i, across: 2 },
  },
})) as unknown as PotRow[];

function courseOf(isPartial: boolean): Course {
  const plain = { id: 'b1', name: 'H5', rows: 60, across: 10, length_mm: 20_000, aisles: 'near' as const };
  const span = { id: 's1', bed: 'b1', lot: 'l1', from_row: 1, to_row: 60 };
  const lot = { pot_mm: 150, judged: defaultJudged };
  const input = bedInput({ id: 'b1', bed: plain, spans: [{ span }], lots: { l1: lot } }, pots, true);
  const walk = { id: 'w1', bed: 'b1', at: Date.now(), open: { walk: 'w1', bed: 'b1', seed: 1, planned: 20 } };
  const rest = { skipped: [], before: [], places: [], blind: false, next: undefined, left: [], asked: 4, about: 20 };
  const score = scoreBed(input);
  const all = { walk, pots, standing: pots, input, score, isPartial, stands: 'entry', ...rest };
  return all as unknown as Course;
}

function said(what: 'walk' | 'end', isPartial: boolean, left = pots, more: Partial<Course> = {}): string {
  held.course = { ...courseOf(isPartial), pots: left, standing: left.filter(({ voided }) => !voided), ...more };
  if (what === 'walk') open('w1', 'b1', undefined, false);
  const { container } = render(what === 'walk' ? <Walk id="w1" /> : <End id="w1" />);
  return (container.textContent ?? '').replaceAll('\u202f', ' ');
}

beforeAll(() => speak('en'));
afterEach(() => {
  cleanup();
  leave();
});

const numbers = { walk: /of about|4 more/, end: /Uniformity|Chlorosis|Rows 17|on average|4 more/ };
const inPart = 'pots of this walk may be missing';

test.each(['walk', 'end'] as const)('the screen of a whole %s has numbers', (what) => {
  const text = said(what, false);
  expect(text).toMatch(numbers[what]);
  expect(text).not.toContain(inPart);
});

test.each(['walk', 'end'] as const)('the screen of a %s in part says so, and no number', (what) => {
  const text = said(what, true);
  expect(text).toContain(inPart);
  expect(text).not.toMatch(numbers[what]);
});

test('a walk of which no pot is left here is not said to have none', () => {
  expect(said('end', false, [])).toContain('No pots noted yet');
  cleanup();
  expect(said('end', true, [])).not.toContain('No pots');
});

test('a walk in part is not said to have enough pots', () => {
  const text = said('walk', true, pots, { asked: 0 });
  expect(text).toContain(inPart);
  expect(text).not.toContain('Enough pots checked');
});

test('how many pots of a walk in part were struck out is not said', () => {
  const struck = pots.map((pot, i) => (i === 0 ? { ...pot, voided: { by, why: 'mistake' as const } } : pot));
  expect(said('end', false, struck)).toContain('1 pot struck out');
  cleanup();
  expect(said('end', true, struck)).not.toContain('1 pot struck out');
});

test('a whole walk that asks for no more is said to have enough pots', () => {
  expect(said('walk', false, pots, { asked: 0 })).toContain('Enough pots checked');
});

test.each([
  [false, { asked: 4 }, /^End the walk/, 'stopped'],
  [true, { asked: 4 }, /^Finished/, 'planned'],
  [true, { asked: 0 }, /^Stopped early/, 'stopped'],
])(
  'why a walk ended is computed of a whole one; of one in part (%s) whoever ends it says so',
  async (isPartial, more, button, why) => {
    held.save.mockReset().mockResolvedValue([]);
    said('end', isPartial, pots, more);
    const end: HTMLButtonElement = await screen.findByRole('button', { name: button });
    // Until it is known whether a card is half filled in.
    await waitFor(() => expect(end.disabled).toBe(false));
    fireEvent.click(end);
    await waitFor(() => expect(held.save).toHaveBeenCalledOnce());
    expect(held.save.mock.calls[0]?.[0]).toMatchObject([{ kind: 'walk_end', body: { walk: 'w1', why } }]);
  },
);

test('of a walk in part there is no button that ends it without a word on whether it was finished', () => {
  expect(said('end', true)).toContain('Was it?');
  expect(screen.queryByRole('button', { name: 'End the walk' })).toBeNull();
});
