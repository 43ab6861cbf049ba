import { readXlsx } from 'hucre/xlsx';
import { beforeEach, expect, test, vi } from 'vitest';
import { speak } from '../../../words';
import { readSheet } from '../sheet/reading';
import { sheetTexts } from '../sheet/workbook';
import { bedsAndLots } from './bedsAndLots';
import { MOST_XLSX_ROWS, rowsOf, workbookOf } from './workbook';

const registers = vi.hoisted(() => ({
  beds: new Map<string, object>(),
  houses: new Map<string, object>(),
  lots: new Map<string, object>(),
  stock: new Map<string, object>(),
  spans: [] as object[],
}));
vi.mock('../../../journal/records/registers', () => ({
  beds: { value: registers.beds },
  houses: { value: registers.houses },
  lots: { value: registers.lots },
  stock: { value: registers.stock },
}));
vi.mock('../../../journal/records/input', () => ({
  spansOf: (bed: string) => registers.spans.filter((span) => (span as { bed: string }).bed === bed),
}));

beforeEach(() => speak('en'));

test('a workbook has numbers as numbers and text as text, whatever it begins with, and nothing of it is a formula', async () => {
  const objects = [
    {
      id: '007',
      tag: '=1+1',
      pots: 600,
      ended: false,
      apart: ['tag'],
      now: { head_a_mm: 250, place: { row: 3, across: 2 } },
    },
    { id: '008', words: '@cmd', buds: null },
  ];
  const rows = rowsOf(objects);
  expect(rows[0]).toEqual([
    'id',
    'tag',
    'pots',
    'ended',
    'apart',
    'head_a_mm',
    'place.row',
    'place.across',
    'words',
    'buds',
  ]);
  const { sheets } = await readXlsx(await workbookOf([{ name: 'Lots: [all]', rows }]));
  expect(sheets.map(({ name }) => name)).toEqual(['Lots- -all-']);
  expect(sheets[0]?.rows[1]?.slice(0, 8)).toEqual(['007', '=1+1', 600, false, '["tag"]', 250, 3, 2]);
  expect(sheets[0]?.rows[2]?.[8]).toBe('@cmd');
  expect([...(sheets[0]?.cells?.values() ?? [])].filter((cell) => cell.formula !== undefined)).toEqual([]);
});

test('a table with more rows than a sheet is refused, not cut', async () => {
  const rows = { length: MOST_XLSX_ROWS + 2 } as unknown as string[][];
  await expect(workbookOf([{ name: 'Pots', rows }])).rejects.toThrow(RangeError);
});

test.each(['en', 'es'] as const)(
  'beds and lots as they are taken out in %s are brought in again as they were',
  async (language) => {
    await speak(language);
    registers.houses.set('h', { id: 'h', name: 'Heron' });
    registers.beds.set('b', {
      id: 'b',
      house: 'h',
      name: 'H1',
      length_mm: 20_117,
      width_mm: 1500,
      rows: 60,
      across: 10,
      entry_end: 'door',
      order: 1,
    });
    registers.beds.set('c', {
      id: 'c',
      house: 'h',
      name: 'H2',
      length_mm: 20_000,
      width_mm: 1500,
      rows: 60,
      across: 10,
      order: 2,
    });
    registers.beds.set('d', { id: 'd', house: 'h', name: 'H0', retired: true });
    registers.lots.set('l', {
      id: 'l',
      tag: 'AZ-1',
      crop: 'azalea',
      cultivar: '-Ember',
      pot_mm: 165,
      ship_week: '2027-W04',
      struck_on: '2026-02-28',
    });
    registers.spans.splice(0, 9, { id: 's', bed: 'b', lot: 'l', from_row: 1, to_row: 30 });
    registers.stock.set('l', { by_span: { s: 290 } });
    for (const units of [
      { long: 'm', short: 'cm' },
      { long: 'ft', short: 'in' },
    ] as const) {
      const [sheet] = await sheetTexts(await workbookOf([{ name: 'A', rows: bedsAndLots(units) }]), '.', 100);
      const reading = readSheet(sheet?.text ?? '', { houses: [], beds: [], lots: [], spans: [] }, units);
      expect(reading.rows.flatMap(({ problems }) => problems)).toEqual([]);
      expect(reading).toMatchObject({ houses: 1, beds: 2, lots: 1, pots: 290, others: [], twice: [] });
      const bodies = reading.intents.map(({ body }) => body);
      expect(bodies).toContainEqual(
        expect.objectContaining({ name: 'H1', length_mm: 20_117, width_mm: 1500, entry_end: 'door' }),
      );
      expect(bodies).toContainEqual(
        expect.objectContaining({ tag: 'AZ-1', cultivar: '-Ember', pot_mm: 165, struck_on: '2026-02-28' }),
      );
      expect(bodies).toContainEqual(expect.objectContaining({ from_row: 1, to_row: 30 }));
    }
  },
);
