import { beforeEach, describe, expect, test } from 'vitest';
import { speak } from '../../../words';
import type { EntryBody } from '../../../../../schema/types';
import { readSheet, type There } from '../sheet/reading';
import { namesIn } from './People';
import { housesOf, namesFrom, sheetOf, type Series } from './series';

const nowhere: There = { houses: [], beds: [], lots: [], spans: [] };
const metres = { long: 'm', short: 'cm' } as const;
const typed: Series = {
  houses: 'Heron, Sedge',
  first: 'H1',
  count: '12',
  length: '42',
  width: '1,2',
  rows: '420',
  across: '6',
  entry: 'door',
  far: '',
};

beforeEach(() => speak('en'));

describe('many beds at once', () => {
  test.each(['en', 'es'] as const)(
    '12 beds, 6 across, 420 rows in each of two houses are read in %s without a fault',
    async (language) => {
      await speak(language);
      const reading = readSheet(sheetOf(typed, 12, metres), nowhere, metres);
      expect(reading).toMatchObject({ houses: 2, beds: 24, lots: 0 });
      expect(reading.rows.flatMap(({ problems }) => problems)).toEqual([]);
      const beds = reading.intents.flatMap(({ kind, body }) => (kind === 'bed' ? [body as EntryBody['bed']] : []));
      expect(beds[11]).toMatchObject({
        name: 'H12',
        length_mm: 42_000,
        width_mm: 1200,
        rows: 420,
        across: 6,
        entry_end: 'door',
      });
      expect(beds[11]).not.toHaveProperty('far_end');
    },
  );

  test('what is wrong with the series is said of its rows, and a bed that exists stays as it is', () => {
    const there: There = {
      ...nowhere,
      houses: [{ id: 'h', name: 'heron' }],
      beds: [{ id: 'b', house: 'h', name: 'H2', rows: 60, across: 10 }],
    };
    const reading = readSheet(sheetOf({ ...typed, houses: 'Heron' }, 3, metres), there, metres);
    expect(reading).toMatchObject({ houses: 0, beds: 2 });
    expect(reading.rows.map(({ adds }) => adds)).toEqual([['bed'], [], ['bed']]);
    const wrong = readSheet(sheetOf({ ...typed, rows: '4200' }, 3, metres), nowhere, metres);
    expect(wrong.intents).toEqual([]);
    expect(wrong.rows[0]?.problems).toEqual(
      ['rows: 4200 is not between 1 and 2,000.'].map((said) => expect.stringContaining(said.slice(0, 20))),
    );
  });

  test('a retired house or bed of the name does not stand in the way of a new one', () => {
    const there: There = {
      ...nowhere,
      houses: [{ id: 'h', name: 'Heron' }],
      beds: [{ id: 'b', house: 'h', name: 'H1', rows: 60, across: 10, retired: true }],
    };
    expect(readSheet(sheetOf({ ...typed, houses: 'Heron' }, 1, metres), there, metres)).toMatchObject({
      houses: 0,
      beds: 1,
    });
    const gone = { ...there, houses: [{ id: 'h', name: 'Heron', retired: true }] };
    expect(readSheet(sheetOf({ ...typed, houses: 'Heron' }, 1, metres), gone, metres)).toMatchObject({
      houses: 1,
      beds: 1,
    });
  });

  test('names are counted on, as wide as the first', () => {
    expect(namesFrom('H8', 3)).toEqual(['H8', 'H9', 'H10']);
    expect(namesFrom('H08', 3)).toEqual(['H08', 'H09', 'H10']);
    expect(namesFrom('99', 2)).toEqual(['99', '100']);
    expect(namesFrom('Bench', 2)).toEqual(['Bench 1', 'Bench 2']);
    expect(namesFrom(' Long one ', 1)).toEqual(['Long one']);
    expect(housesOf(' Heron,Sedge; Heron\n')).toEqual(['Heron', 'Sedge']);
  });
});

test('people are pasted a line each; nobody is added twice, and a name that is too long is named', () => {
  const long = 'x'.repeat(81);
  expect(namesIn(`Orla  Venn\nAna, ana\n\nTomás\n${long}`, ['tomás'])).toEqual({
    fresh: ['Orla Venn', 'Ana'],
    there: ['ana', 'Tomás'],
    wrong: [long],
  });
});
