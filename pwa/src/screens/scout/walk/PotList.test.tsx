/** A pot is struck out from the list of a walk, and the list never says so where it could not be saved. */
import { cleanup, fireEvent, render, screen } from '@testing-library/preact';
import { afterEach, expect, test, vi } from 'vitest';
import type { PotRow } from '../../../journal/records/read';
import { Toasts } from '../../../parts/Toast';
import { PotList } from './PotList';

const voids = vi.hoisted(() => ({ voidEntries: vi.fn(), unvoid: vi.fn() }));
vi.mock('../../../journal/outbox/voids', () => voids);

afterEach(cleanup);

const by = { entry: 'e1', person: 'ana', device: 'd1', stamp: { at: 1, quality: 'pending' as const, from: 1, to: 1 } };
const pot: PotRow = { id: 'p1', now: { walk: 'w', bed: 'b', lot: 'l' }, first: by, by, versions: 1 };

function strikeOut(): void {
  render(
    <>
      <PotList pots={[pot]} onOpen={() => undefined} />
      <Toasts />
    </>,
  );
  fireEvent.click(screen.getByRole('button', { expanded: false }));
  fireEvent.click(screen.getByText('Strike out'));
  fireEvent.click(screen.getByText('the wrong pot'));
}

test('a pot that could not be struck out says so, and asks again', async () => {
  voids.voidEntries.mockRejectedValue(Object.assign(new Error('full'), { code: 'full' }));
  strikeOut();
  await vi.waitFor(() => expect(screen.getByRole('status').textContent).toMatch(/full/));
  expect(screen.queryByText('the wrong pot')).not.toBeNull();
});

test('a striking out that could not be taken back says so', async () => {
  voids.voidEntries.mockResolvedValue(() => Promise.reject(new Error('broken')));
  strikeOut();
  fireEvent.click(await screen.findByText('Undo'));
  await vi.waitFor(() => expect(screen.getByRole('status').textContent).toMatch(/storage failed/));
});

test('pots have the numbers that the card gives them: one that is struck out has none', () => {
  const pots = ['p1', 'p2', 'p3'].map((id) => ({ ...pot, id }));
  pots[1] = { ...pots[1]!, voided: { by, why: 'mistake' } as unknown as NonNullable<PotRow['voided']> };
  render(<PotList pots={pots} onOpen={() => undefined} />);
  expect(screen.getAllByRole('button').map((each) => each.querySelector('b')?.textContent)).toEqual(['2', '×', '1']);
});

test('figures in a line stand under the names of what they are', () => {
  render(<PotList pots={[pot]} onOpen={() => undefined} />);
  expect(screen.getByText('row: head, buds, roots, leaves')).not.toBeNull();
});
