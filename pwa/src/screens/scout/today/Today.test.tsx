/** A bed's number stands for its last walk; while records still arrive, the last walk here may be weeks old. */
import { cleanup, render } from '@testing-library/preact';
import { afterEach, expect, test, vi } from 'vitest';
import type { Brief } from '../../../journal/store/shape';
import { Tile } from './Today';

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
