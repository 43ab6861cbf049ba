/** A bed's number stands for its last walk; while records still arrive, the last walk here may be weeks old. */
import 'fake-indexeddb/auto';
import { cleanup, render, screen } from '@testing-library/preact';
import { afterEach, expect, test, vi } from 'vitest';
import type { Brief } from '../../../journal/store/shape';
import type { BedLine } from './due';
import { saidWhy, Tile, Today } from './Today';

const first = vi.hoisted(() => ({ value: undefined as number | undefined }));
vi.mock('../../../journal/inbox/arriving', async (load) => ({ ...(await load()), firstReading: first }));

afterEach(cleanup);

const brief = { uniformity: 0.95, known: true, few: false } as Brief;

test.each([
  [0.74, '…'],
  [undefined, '95'],
])('with %s of the records here the tile says %s', (share, said) => {
  first.value = share;
  expect(render(<Tile brief={brief} />).container.textContent).toBe(said);
});

test('a bed whose last walk is still being scored has no dash, which means that nobody walked it', () => {
  first.value = undefined;
  expect(render(<Tile brief={undefined} isPending />).container.textContent).toBe('…');
  expect(render(<Tile brief={undefined} />).container.textContent).toBe('–');
});

test('a bed without walks is not shown as never walked before all records are here', () => {
  first.value = 0.03;
  expect(render(<Tile brief={undefined} />).container.textContent).toBe('…');
});

test('pots of a walk that goes on are said once, and those of one that was left with its own day', () => {
  const unfinished = { seen: 6, about: 32 };
  const left = { ...brief, walk: 'one', seen: 6, unfinished } as Brief;
  const under = { ...left, inProgress: { walk: 'one', at: 0, seen: 6, planned: 32 } };
  const line = { due: 'never', last: Date.now(), closedUntil: 0 } as BedLine;
  expect(saidWhy({ ...line, brief: left })).toBe('6 of about 32 pots checked today, not finished');
  expect(saidWhy({ ...line, brief: under, inProgress: { name: '', pots: 6 } })).toBe('you are walking it, 6 pots');
  const another = { ...left, inProgress: { walk: 'two', at: 0, seen: 1, planned: 32 } };
  expect(saidWhy({ ...line, brief: another, inProgress: { name: '', pots: 1 } })).toBe(
    '6 of about 32 pots checked today, not finished · you are walking it, 1 pot',
  );
});

test('what stands above the beds is there when they are: a button that came later would push a bed from under the thumb', () => {
  first.value = undefined;
  render(<Today />);
  expect(screen.getByRole('heading', { name: 'Today' })).toBeDefined();
  expect(screen.getByRole('button', { name: 'Work list' })).toBeDefined();
});
