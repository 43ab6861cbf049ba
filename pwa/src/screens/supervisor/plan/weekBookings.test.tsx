import { cleanup, render } from '@testing-library/preact';
import { afterEach, expect, test } from 'vitest';
import type { SupplyBooking } from '../../../../../schema/types';
import { Unmet } from './WeekBookings';

afterEach(cleanup);

function booked(count: number): SupplyBooking[] {
  return Array.from({ length: count }, (_, i) => ({
    id: String(i).padStart(32, '0'),
    lot: 'a'.repeat(32),
    tag: 'AZ-1',
    buyer: `Buyer ${i}`,
    pots: 100,
    open: 100,
    missing: 100,
    grade: 'florist',
    short: 1,
    why: 'few',
  })) as unknown as SupplyBooking[];
}

test('of a week with many bookings that are not sure some stand below its line, and the others are folded with their number', () => {
  const { container } = render(<Unmet bookings={booked(60)} />);
  expect(container.querySelector('summary')?.textContent).toContain('54');
  const folded = container.querySelector('details') as HTMLDetailsElement;
  expect(folded.open).toBe(false);
  expect(folded.querySelectorAll('li')).toHaveLength(54);
  expect(container.querySelectorAll('li')).toHaveLength(60);
  // Paper cannot be opened.
  dispatchEvent(new Event('beforeprint'));
  expect(folded.open).toBe(true);
  dispatchEvent(new Event('afterprint'));
  expect(folded.open).toBe(false);
});

test.each([1, 6, 7])('%i of them all stand there: nothing is folded for the sake of one', (count) => {
  const { container } = render(<Unmet bookings={booked(count)} />);
  expect(container.querySelector('details')).toBeNull();
  expect(container.querySelectorAll('li')).toHaveLength(count);
});
