/** A lot's bookings on its page, before the device has all records. */
import { cleanup, render } from '@testing-library/preact';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { speak } from '../../../words';
import { Bookings, cancel } from './Bookings';
import * as sample from '../sample.testing';

const said = vi.hoisted(() => [] as string[]);
vi.mock('../../../forms/saving', async (load) => ({
  ...(await load<object>()),
  saveForm: async (_: string, __: unknown, text: string) => said.push(text),
}));
const kept = vi.hoisted(() => new Map<string, object>());
vi.mock('../../../journal/records/registers', async (load) => ({
  ...(await load<object>()),
  bookings: { value: kept },
}));

beforeEach(() => speak('en'));
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

// Saved into another week it leaves the place where it was changed: the toast says where it went.
test.each([
  ['en', { ship_week: '2027-W03' }, '100 pots booked for Lark Lane Shop, week 3, 2027.'],
  ['en', {}, '100 pots booked for Lark Lane Shop.'],
  ['es', { ship_week: '2027-W03' }, '100 macetas apartadas para Lark Lane Shop, semana 3, 2027.'],
] as const)('what is booked says for which week, in %s, %j', async (language, of, text) => {
  await speak(language);
  kept.set('k1', { id: 'k1', buyer: 'Lark Lane Shop', pots: 100, cancelled: true, ...of });
  said.length = 0;
  await cancel('', 'k1');
  expect(said).toEqual([text]);
});
