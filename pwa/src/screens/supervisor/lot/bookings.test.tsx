/** A lot's bookings on its page, before the device has all records. */
import { cleanup, render } from '@testing-library/preact';
import { afterEach, expect, test } from 'vitest';
import { Bookings } from './Bookings';
import * as sample from '../sample.testing';

afterEach(cleanup);

test('what the server tells of is shown while its record has not arrived here, and cannot be changed yet', () => {
  const booking = {
    id: 'k1',
    grade: 'Florist 1',
    pots: 40,
    buyer: 'Market Stall 7',
    ship_week: '2026-W50',
    cancelled: false,
    shipped: 10,
    open: 30,
    live: ['e1'],
  };
  const page = render(<Bookings view={{ ...sample.lotView, bookings: [booking], shipped_free: 5 }} />);
  const text = page.container.textContent?.replace(/\s+/g, ' ') ?? '';
  expect(text).toContain('Market Stall 7');
  expect(text).not.toContain('Nothing is booked');
  expect(text).toContain('5 pots shipped without a booking.');
  const change = page.getByRole('button', { name: 'Change the booking for Market Stall 7' });
  expect(change.hasAttribute('disabled')).toBe(true);
});
