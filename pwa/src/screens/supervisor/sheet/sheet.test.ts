import { beforeEach, describe, expect, test } from 'vitest';
import { checkField } from '../../../../../schema/check';
import type { EntryBody } from '../../../../../schema/types';
import { speak } from '../../../words';
import { supervisorWords, english, spanish } from '../../../words/supervisor';
import { dayIn, millimetres, readCells, textOf, weekIn } from './cells';
import { fold, headings } from './headings';
import type { Units } from './asked';
import { readSheet, stops, type Reading, type There } from './reading';
import { templateText } from './template';

const nowhere: There = { houses: [], beds: [], lots: [], spans: [] };
const metres: Units = { long: 'm', short: 'cm' };

beforeEach(() => speak('en'));

function read(text: string, there: There = nowhere, units: Units = metres): Reading {
  return readSheet(text, there, units);
}

function bodies<K extends 'house' | 'bed' | 'lot' | 'span' | 'count'>(reading: Reading, kind: K): EntryBody[K][] {
  return reading.intents.filter((one) => one.kind === kind).map((one) => one.body as EntryBody[K]);
}

const HEAD =
  'house,bed,length,width,rows,across,lot,crop,cultivar,pot,pots,first row,last row,stuck,potted,ship week\n';
const ONE = `${HEAD}Heron,H1,20,1.5,60,10,AZ-101,azalea,Ember Lace,15,600,,,2026-02-01,2026-04-10,2027-W04\n`;

describe('a sheet of beds and lots', () => {
  test('adds house, bed, lot, its place and its pots, in the schema’s units', () => {
    const reading = read(ONE);
    expect(reading.rows).toMatchObject([{ row: 2, adds: ['house', 'bed', 'lot', 'stretch'], problems: [] }]);
    const [house] = bodies(reading, 'house');
    const [bed] = bodies(reading, 'bed');
    const [lot] = bodies(reading, 'lot');
    const [span] = bodies(reading, 'span');
    expect(house).toMatchObject({ name: 'Heron' });
    expect(bed).toMatchObject({ house: house?.of, length_mm: 20_000, width_mm: 1_500, rows: 60, across: 10 });
    expect(lot).toMatchObject({
      tag: 'AZ-101',
      crop: 'azalea',
      pot_mm: 150,
      struck_on: '2026-02-01',
      ship_week: '2027-W04',
    });
    expect(span).toMatchObject({ lot: lot?.of, bed: bed?.of, from_row: 1, to_row: 60 });
    expect(bodies(reading, 'count')).toMatchObject([{ lot: lot?.of, span: span?.of, change: 600, reason: 'opening' }]);
    expect(reading.intents.map(({ kind }) => kind)).toEqual(['house', 'bed', 'lot', 'span', 'count']);
  });

  test('takes what the crew call the two ends and the two long sides of a bed, in both languages', () => {
    const called = { entry_end: 'door', far_end: 'fan', near_side: 'path side', far_side: 'wall side' };
    for (const ends of ['entry end,far end,near side,far side', 'entrada,fondo,lado cercano,lado lejano']) {
      const [bed] = bodies(
        read(`house,bed,length,width,rows,across,${ends}\nHeron,H1,20,1.5,60,10,door,fan,path side,wall side`),
        'bed',
      );
      expect(bed).toMatchObject(called);
    }
  });

  test('writes nothing that the schema’s own limits refuse', () => {
    for (const { kind, body } of read(ONE).intents) {
      for (const [field, value] of Object.entries(body))
        expect(checkField(kind, field, value), `${kind}.${field}`).toBe(undefined);
    }
  });

  test('puts two lots on one bed and two beds into one house', () => {
    const reading = read(
      `${HEAD}Heron,H1,20,1.5,60,10,A,azalea,X,15,300,1,30\nheron , h1,,,,,B,azalea,Y,15,300,31,60\nHeron,H2,20,1.5,60,10\n`,
    );
    expect(reading).toMatchObject({ houses: 1, beds: 2, lots: 2, pots: 600 });
    expect(reading.rows.map(({ adds }) => adds)).toEqual([
      ['house', 'bed', 'lot', 'stretch'],
      ['lot', 'stretch'],
      ['bed'],
    ]);
    const [one, other] = bodies(reading, 'bed');
    expect((other?.y_mm ?? 0) - (one?.y_mm ?? 0)).toBeGreaterThan(1_500);
  });

  test('puts one lot on two beds as one lot with two stretches', () => {
    const reading = read(`${HEAD}H,1,20,1.5,60,10,A,azalea,X,15,300\nH,2,20,1.5,60,10,A,,,,200\n`);
    expect(reading).toMatchObject({ lots: 1, beds: 2, pots: 500 });
    expect(new Set(bodies(reading, 'span').map(({ lot }) => lot)).size).toBe(1);
  });

  test('takes the good rows and says of each bad one what to do, by the spreadsheet’s row number', () => {
    const bad: [string, string][] = [
      [',H9,20,1.5,60,10', 'house is missing'],
      ['Heron,H9,20,1.5,,10', 'rows is missing'],
      ['Heron,H9,2000,1.5,60,10', 'length: 2000 m is not between 0.50 m and 200 m'],
      ['Heron,H9,twenty,1.5,60,10', 'length: “twenty” is not a length'],
      ['Heron,H9,20,1.5,60.5,10', 'rows: enter a whole number'],
      ['Heron,H9,20,1.5,60,-4', 'pots across: -4 is not between 1 and 100'],
      ['Heron,H1,,,,,B,azalea,Y,15,300', 'Rows 1 to 60 belong to lot AZ-101'],
      ['Heron,H9,20,1.5,60,10,AZ-9,azalea,Y,15,300,1,70', 'Last row 70 is past the end of the bed, which has 60 rows'],
      ['Heron,H9,20,1.5,60,10,AZ-9,azalea,Y,15,300,40,30', 'Last row 30 comes before first row 40'],
      ['Heron,H9,20,1.5,60,10,AZ-9,azalea,Y,15,601', '601 pots do not fit: those rows have 600 places'],
      ['Heron,H9,20,1.5,60,10,AZ-9,azalea,Y,15,', 'pots is missing'],
      ['Heron,H9,20,1.5,60,10,AZ-9,azalea,Y,4000,300', 'pot size: 4000 cm is not between 3 cm and 60 cm'],
      ['Heron,H9,20,1.5,60,10,,azalea,Y,15,300', 'lot is missing'],
      ['Heron,H9,20,1.5,60,10,AZ-9,azalea,Y,15,300,,,3/4/2026', '“3/4/2026” can be read as more than one date'],
      ['Heron,H9,20,1.5,60,10,AZ-9,azalea,Y,15,300,,,2026-05-01,2026-04-01', 'Potted before it was stuck'],
      ['Heron,H9,20,1.5,60,10,AZ-9,azalea,Y,15,300,,,,,2027-W54', '“2027-W54” is not a week'],
    ];
    const reading = read(ONE + bad.map(([row]) => row).join('\n'));
    expect(reading).toMatchObject({ houses: 1, beds: 1, lots: 1 });
    for (const [at, [row, says]] of bad.entries()) {
      expect(reading.rows[at + 1]?.row).toBe(at + 3);
      expect(reading.rows[at + 1]?.problems.join(' '), row).toContain(says);
    }
  });

  test('takes two rows of one tag for one lot only while they do not contradict each other, and names both', () => {
    const rows = (second: string) =>
      read(`${ONE}Heron,H2,20,1.5,60,10,az-101,${second}\n`).rows.map((row) => row.problems);
    // Left out, or the same in another spelling.
    expect(rows(',,,300,1,30')).toEqual([[], []]);
    expect(rows('Azálea,ember lace,15,300,1,30,2026-02-01,2026-04-10,2027-W04')).toEqual([[], []]);
    for (const second of [
      'hydrangea,,,300',
      ',Salt Marsh,,300',
      ',,13,300',
      ',,,300,,,2026-02-02',
      ',,,300,,,,2026-04-11',
      ',,,300,,,,,2027-W05',
    ]) {
      const [first, problems] = rows(second);
      expect(first, second).toEqual([]);
      expect(problems, second).toHaveLength(1);
      expect(problems?.[0], second).toMatch(/^Lot (AZ-101|az-101): row 3 has .*, but row 2 has \S/);
    }
  });

  test('does not fill in from a later row what the first row of a lot left out', () => {
    const first = `${HEAD}Heron,H1,20,1.5,60,10,AZ-101,azalea,Ember Lace,15,600\n`;
    const { rows } = read(`${first}Heron,H2,20,1.5,60,10,AZ-101,,,,300,,,2026-02-01\n`);
    expect(rows.map((row) => row.problems.length)).toEqual([0, 1]);
    expect(rows[1]?.problems[0]).toContain('row 3 has stuck 2026-02-01, but row 2 leaves it empty.');
  });

  test('leaves what is known as it is: an existing bed is used, a lot is not added twice', () => {
    const there: There = {
      houses: [{ id: 'h', name: 'Heron' }],
      beds: [{ id: 'b', house: 'h', name: 'H1', rows: 60, across: 10, width_mm: 1_500, length_mm: 20_000, y_mm: 600 }],
      lots: [{ id: 'l', tag: 'AZ-100' }],
      spans: [{ id: 's', lot: 'l', bed: 'b', from_row: 1, to_row: 30 }],
    };
    const reading = read(
      `${HEAD}Heron,H1,,,,,AZ-100,azalea,X,15,200,31,60\nHeron,H1,,,,,AZ-102,azalea,X,15,200,31,60\nHeron,H2,20,1.5,60,10`,
      there,
    );
    expect(reading.rows[0]?.problems.join()).toContain('Lot AZ-100 already exists');
    expect(reading).toMatchObject({ houses: 0, beds: 1, lots: 1 });
    expect(bodies(reading, 'span')).toMatchObject([{ bed: 'b' }]);
    expect(bodies(reading, 'bed')[0]?.y_mm, 'behind the bed that is there').toBeGreaterThanOrEqual(600 + 1_500);
  });

  test('draws no two new beds over each other, however many there are', () => {
    const rows = Array.from({ length: 21 }, (_, at) => `Heron,H${at + 1},${18 + (at % 4)},1.5,60,10`).join('\n');
    const beds = bodies(read(HEAD + rows), 'bed').map((bed) => ({
      x: bed.x_mm ?? 0,
      y: bed.y_mm ?? 0,
      long: bed.length_mm ?? 0,
      wide: bed.width_mm ?? 0,
    }));
    expect(beds).toHaveLength(21);
    for (const a of beds) {
      const over = beds.filter(
        (b) => a.x < b.x + b.long && b.x < a.x + a.long && a.y < b.y + b.wide && b.y < a.y + a.wide,
      );
      expect(over).toEqual([a]);
    }
  });

  test('names headings that nobody knows and those that are there twice, and asks for those it cannot do without', () => {
    expect(read('house,bed,colour,bed\nHeron,H1,red,H2')).toMatchObject({ others: ['colour'], twice: ['bed'] });
    expect(read('length,width\n20,1.5').lacking).toEqual(['house', 'bed']);
    expect(read('').lacking).toEqual(['house', 'bed']);
    expect(read('house,bed\n')).toMatchObject({ rows: [], intents: [] });
    // Whose headings are known is not asked whether there are any.
    expect(stops(read('bed,lot\nH1,AZ-9'))).toMatch(/^Missing columns: house\. Add what is missing/);
    expect(stops(read('H1,20\nH2,20'))).toMatch(/Does the first row hold the headings\?$/);
  });
});

describe('spreadsheets of all kinds', () => {
  test('are read with tabs, semicolons, commas, quotes, decimal commas and a mark at the start', () => {
    const sheets = [
      'house\tbed\tlength\twidth\trows\tacross\nHeron\tH1\t20.5\t1.5\t60\t10',
      'house;bed;length;width;rows;across\r\nHeron;H1;20,5;1,5;60;10\r\n',
      '\uFEFF"house","bed","length","width","rows","across"\n"Heron","H1","20.5","1.5","60","10"\n\n',
    ];
    for (const sheet of sheets) expect(bodies(read(sheet), 'bed'), sheet).toMatchObject([{ length_mm: 20_500 }]);
  });

  test('are asked about a length that may have a thousands mark, which is never read as 20.5', () => {
    const [row] = read('house\tbed\tlength_mm\twidth\trows\tacross\nHeron\tH1\t20,500\t1.5\t60\t10').rows;
    expect(row?.problems).toEqual([expect.stringContaining('20,500')]);
  });

  test('say their units in the headings, or go by the reader’s own', () => {
    const row = '\nHeron,H1,66,60,60,10';
    expect(bodies(read(`house,bed,Length (ft),width_in,rows,across${row}`), 'bed')).toMatchObject([
      { length_mm: 20_117, width_mm: 1_524 },
    ]);
    expect(
      bodies(read(`house,bed,length,width in,rows,across${row}`, nowhere, { long: 'ft', short: 'in' }), 'bed'),
    ).toMatchObject([{ length_mm: 20_117 }]);
  });

  test('may come from Windows or in UTF-16', () => {
    const bytes = (text: number[]) => new Uint8Array(text).buffer;
    expect(textOf(new TextEncoder().encode('Peñón').buffer)).toBe('Peñón');
    expect(textOf(bytes([0x50, 0x65, 0xf1, 0xf3, 0x6e]))).toBe('Peñón');
    expect(textOf(bytes([0xff, 0xfe, 0x50, 0, 0xf1, 0]))).toBe('\uFEFFPñ'.replace('\uFEFF', ''));
    // The other order of bytes (RFC 2781, 3.2, from memory).
    expect(textOf(bytes([0xfe, 0xff, 0, 0x50, 0, 0xf1]))).toBe('Pñ');
  });

  test('keep the row numbers that the spreadsheet shows, empty rows counted', () => {
    expect(readCells('house,bed\n\nHeron,H1\n , \nHeron,H2').lines.map(({ row }) => row)).toEqual([3, 5]);
  });
});

describe('the empty sheet', () => {
  test.each(['en', 'es'] as const)('in %s is read back without a fault, in either units', async (language) => {
    await speak(language);
    for (const units of [metres, { long: 'ft', short: 'in' } as const]) {
      const reading = read(templateText(units), nowhere, metres);
      expect(reading).toMatchObject({ others: [], twice: [], lacking: [], beds: 1, lots: 1 });
      expect(reading.rows.flatMap(({ problems }) => problems)).toEqual([]);
      expect(bodies(reading, 'bed')[0]?.length_mm).toBeGreaterThan(19_000);
    }
  });

  test('is headed by words that the reader knows, in both languages', () => {
    for (const words of [english, spanish]) {
      for (const { heading, names } of headings) expect(names).toContain(fold(words.sheet.heading[heading]));
    }
    expect(supervisorWords.value.sheet.heading.house).toBe('house');
  });
});

describe('single cells', () => {
  test('days are read where they mean one day', () => {
    for (const [typed, day] of [
      ['2026-03-14', '2026-03-14'],
      ['14.3.2026', '2026-03-14'],
      ['14. 03. 2026', '2026-03-14'],
      ['2026-02-30', undefined],
      ['3/4/2026', undefined],
      ['', undefined],
    ] as const) {
      expect(dayIn(typed), typed).toBe(day);
    }
  });

  test('weeks are those that a year has (ISO 8601: 2026 has 53, 2027 has 52)', () => {
    expect(weekIn('2026-W53')).toBe('2026-W53');
    expect(weekIn('2027-W53')).toBe(undefined);
    expect(weekIn('2027w4')).toBe('2027-W04');
    expect(weekIn('2027 W00')).toBe(undefined);
    expect(weekIn('4/2027')).toBe(undefined);
  });

  test('lengths are exact (1 ft is 304.8 mm and 1 in 25.4 mm by definition, international yard and pound agreement of 1959)', () => {
    expect(millimetres('7', 'ft')).toBe(2134);
    expect(millimetres('6,5', 'in')).toBe(165);
    expect(millimetres('0.5', 'mm')).toBe(1);
    expect(millimetres('x', 'm')).toBe(undefined);
  });
});
