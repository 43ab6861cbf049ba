/** Bookings from a spreadsheet, against a small nursery of registers. */
import { beforeEach, expect, test, vi } from 'vitest';
import type { Booking, Lot, Profile } from '../../../../../schema/types';
import type { Plain } from '../../../journal/records/registers';
import { speak } from '../../../words';
import { readBookings } from './bookingSheet';

const there = vi.hoisted(() => ({
  lots: { value: new Map<string, unknown>() },
  bookings: { value: new Map<string, unknown>() },
  profiles: { value: new Map<string, unknown>() },
  stock: { value: new Map<string, unknown>() },
}));
vi.mock('../../../journal/records/registers', async (original) => ({ ...(await original()), ...there }));

const LOT = 'a'.repeat(32);
const NOW = Date.UTC(2026, 10, 29);
const AS_IT_IS = { columns: {} };
const UNITS = { long: 'm', short: 'cm' } as const;

beforeEach(async () => {
  await speak('en');
  const lot: Plain<Lot> = {
    id: LOT,
    tag: 'AZ-1',
    crop: 'azalea',
    cultivar: 'Ember Lace',
    pot_mm: 130,
    ship_week: '2026-W53',
  };
  const profile: Plain<Profile> = {
    id: 'p',
    crop: 'azalea',
    grades: [
      { name: 'florist', pot_mm: 130 },
      { name: 'nursery', pot_mm: 130 },
    ],
  };
  there.lots.value = new Map([[LOT, lot]]);
  const gone: Plain<Lot> = { ...lot, id: 'c'.repeat(32), tag: 'AZ-2', shipped_on: '2026-11-20' };
  there.lots.value.set(gone.id, gone);
  there.profiles.value = new Map([['p', profile]]);
  there.bookings.value = new Map();
  there.stock.value = new Map([
    [LOT, { pots: 696 }],
    [gone.id, { pots: 0 }],
  ]);
});

const rows = (text: string) => readBookings(text, UNITS, NOW, AS_IT_IS).rows;

test('a row books a lot, or any lot of a crop and pot size, and one that stands already is left as it is', () => {
  const sheet = `Buyer,Lot,Crop,Pot size (cm),Cultivar,Pots,Grade,Ship week,Price,Order number
Oxbow,az-1,,,,40,Florist,,4.25,PO 7
Ferry,,Azalea,13,ember lace,20,nursery,2027-W02,,
Ferry,,Azalea,13,ember lace,20,nursery,2027-W02,,`;
  const [lot, wide, twice] = rows(sheet);
  expect(lot?.intent).toMatchObject({
    kind: 'booking',
    lot: LOT,
    body: {
      lot: LOT,
      buyer: 'Oxbow',
      pots: 40,
      grade: 'florist',
      ship_week: '2026-W53',
      price_c: 425,
      reference: 'PO 7',
    },
  });
  expect(wide?.intent?.body).toMatchObject({
    crop: 'azalea',
    cultivar: 'Ember Lace',
    pot_mm: 130,
    ship_week: '2027-W02',
  });
  expect(wide?.intent?.body).not.toHaveProperty('lot');
  expect(twice).toMatchObject({ intent: undefined, problems: [] });
  there.bookings.value = new Map([['b', { id: 'b', ...(wide?.intent?.body as Booking) }]]);
  expect(rows(sheet)[1]?.said).toContain('Booked already');
});

test.each([
  ['Oxbow,AZ-9,,,,40,florist,', /No lot has the tag AZ-9/],
  ['Oxbow,AZ-2,,,,40,florist,', /AZ-2 has shipped/],
  ['Oxbow,,tulip,13,,40,florist,2027-W02', /No crop is called “tulip” here\. Write one of azalea/],
  ['Oxbow,,azalea,17,,40,florist,2027-W02', /No lot or grade of azalea has this pot size/],
  ['Oxbow,,azalea,13,Ember,40,florist,2027-W02', /No cultivar is called “Ember” here/],
  ['Oxbow,,azalea,13,,40,best,2027-W02', /No grade is called “best” here\. Write one of florist and nursery/],
  ['Oxbow,,azalea,13,,40,florist,', /Choose a ship week/],
  ['Oxbow,,azalea,13,,40,florist,2026-W40', /has passed/],
  ['Oxbow,,azalea,13,,0,florist,2027-W02', /No pots/],
  [',,azalea,13,,40,florist,2027-W02', /buyer/],
])('a row with a mistake says what to do and writes nothing: %s', (row, problem) => {
  const [read] = rows(`Buyer,Lot,Crop,Pot size,Cultivar,Pots,Grade,Ship week\n${row}`);
  expect(read?.intent).toBeUndefined();
  expect(read?.problems.join(' ')).toMatch(problem);
});

test('without the columns that say what is booked nothing is read, and unknown columns are named', () => {
  expect(readBookings('Buyer,Pots,Crop\nOxbow,4,azalea', UNITS, NOW, AS_IT_IS).lacking).toEqual(['lot']);
  expect(readBookings('Buyer,Pots,Lot,Truck\nOxbow,4,AZ-1,2', UNITS, NOW, AS_IT_IS).others).toEqual(['Truck']);
});

test('of a sheet with two separators nothing is read, and the first row of the other kind is named', () => {
  const read = readBookings('Buyer,Pots,Lot\nOxbow,4,AZ-1\nOxbow;4;AZ-1', UNITS, NOW, AS_IT_IS);
  expect(read).toMatchObject({ mixed: 3, rows: [] });
});

test('a column of another name is what somebody says it is, and only rows without a mistake would be written', () => {
  const sheet = 'Who,Pots,Lot,Grade\nOxbow,4,AZ-1,florist\nFerry,0,AZ-1,florist';
  expect(readBookings(sheet, UNITS, NOW, AS_IT_IS).lacking).toEqual(['buyer']);
  const read = readBookings(sheet, UNITS, NOW, { columns: { 0: 'buyer' } });
  expect(read.intents.map(({ body }) => (body as Booking).buyer)).toEqual(['Oxbow']);
  expect(read.rows.map(({ place, problems }) => [place, problems.length])).toEqual([
    ['Oxbow', 0],
    ['Ferry', 1],
  ]);
});

test('more pots than are on record are asked about and not refused, of a lot and of all that ship in the week', () => {
  const sheet = `Buyer,Lot,Crop,Pot size (cm),Pots,Grade,Ship week
Oxbow,az-1,,,696,florist,
Oxbow,az-1,,,697,florist,
Ferry,,Azalea,13,700,nursery,2026-W53
Ferry,,Azalea,13,20,nursery,2027-W02`;
  const [enough, more, any, none] = rows(sheet);
  expect(enough?.said).not.toContain('on record');
  expect(more?.said).toContain('More than the 696 pots on record for it.');
  expect(any?.said).toContain('More than the 696 pots on record for it.');
  expect(none?.said).toContain('no pots on record');
  expect([enough, more, any, none].map((row) => row?.intent !== undefined)).toEqual([true, true, true, true]);
  there.stock.value.delete(LOT);
  expect(rows(sheet)[1]?.said).not.toContain('on record');
});

test('a formula that came in place of its result is said once', () => {
  const [row] = rows('Buyer,Lot,Pots,Grade\nOxbow,az-1,=10*2,florist');
  expect(row?.problems).toEqual([expect.stringContaining('“=10*2” is a formula without a result')]);
});
