/** The one line of news on a card: a doubt stands until the scout can have seen it, and nothing is called saved that was not applied. */
import 'fake-indexeddb/auto';
import { cleanup, render } from '@testing-library/preact';
import { afterEach, expect, test } from 'vitest';
import { defaultJudged } from '../../../../../schema/kinds';
import type { BedInput, PotSeen } from '../../../../../schema/types';
import type { Course } from '../walk/course';
import { saving, type Card } from './card';
import { News } from './News';

const lot = 'a';
const input: BedInput = {
  bed: 'b',
  rows: 60,
  across: 10,
  length_mm: 20_000,
  entry_end: 'door',
  far_end: 'fan',
  aisles: 'both',
  lots: [{ lot, from_row: 1, to_row: 60, pots_on_bed: 600, pot_mm: 150, judged: defaultJudged }],
  pots: [],
};
const before = [20, 21, 19, 22, 20, 18, 21, 20].map(
  (buds, i) => ({ id: `${i}`, person: 'ana', at: 0, now: { walk: 'w', bed: 'b', lot, buds } }) as PotSeen,
);
const course = { blind: false, standing: [], input, before } as unknown as Course;
const now = { walk: 'w', bed: 'b', lot, buds: 2 };

const said = (card: Partial<Card>) => {
  const whole = { id: 'c', walk: 'w', bed: 'b', trait: 'roots', now, before: [now], ...card } as Card;
  return render(<News now={whole} course={course} more="Now about 37 more pots" isUndone={false} />).container
    .textContent;
};

afterEach(() => {
  cleanup();
  saving.value = 'nothing';
});

test('two buds where twenty are usual are doubted until the roots are answered', () => {
  expect(said({ trait: 'buds' })).toContain('2? Did you mean 20?');
  expect(said({ trait: 'roots' })).toContain('buds: 2? Did you mean 20?');
  expect(said({ trait: 'roots', now: { ...now, root_cover: 3 } })).not.toContain('Did you mean');
  expect(said({ trait: 'leaves' })).not.toContain('Did you mean');
});

test('a value far from the only other pot names that pot’s value, never itself', () => {
  const other = { id: 'p1', person: 'ana', at: 0, now: { walk: 'w', bed: 'b', lot, buds: 35 } } as PotSeen;
  const alone = { ...course, input: { ...input, pots: [other] }, before: [] };
  const card = { id: 'c', walk: 'w', bed: 'b', trait: 'buds', now: { ...now, buds: 1435 }, before: [] };
  const { container } = render(<News now={card as unknown as Card} course={alone} more={undefined} isUndone={false} />);
  expect(container.textContent).toContain('1,435 is far from 35, so far');
});

test('of a correction that is not applied yet nothing is called saved', () => {
  saving.value = 'saved';
  expect(said({ now: { ...now, buds: 20 } })).toContain('saved');
  cleanup();
  expect(said({ pot: 'p1', replaces: 'e1', now: { ...now, buds: 20 } })).not.toContain('saved');
});
