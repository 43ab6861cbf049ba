/** Files of every sort that somebody may choose: each is read, or says what to do. */
import { writeXlsx } from 'hucre/xlsx';
import { beforeEach, describe, expect, test } from 'vitest';
import { speak } from '../../../words';
import { english, spanish } from '../../../words/supervisor';
import { MOST_BYTES, readFile, type FileRead } from './file';
import { MOST_ROWS, readSheet, type There } from './reading';
import { sheetTexts } from './workbook';

const nowhere: There = { houses: [], beds: [], lots: [], spans: [] };
const metres = { long: 'm', short: 'cm' } as const;
const HEAD = 'house,bed,length,width,rows,across,lot,crop,cultivar,pot,pots,stuck';

beforeEach(() => speak('en'));

const open = async (bytes: ArrayBuffer): Promise<FileRead> => {
  try {
    return { sheets: await sheetTexts(new Uint8Array(bytes), '.', MOST_ROWS + 2) };
  } catch {
    return { problem: 'damaged' };
  }
};
const file = (...parts: (string | Uint8Array)[]) => new File(parts as BlobPart[], 'any.csv');
const read = (...parts: (string | Uint8Array)[]) => readFile(file(...parts), open);
const rowsOf = (text: string) => readSheet(text, nowhere, metres).rows.map(({ problems }) => problems.join(' '));

describe('a workbook', () => {
  test('is read like a sheet that was pasted: texts, numbers, days and the second of two sheets', async () => {
    const day = new Date(Date.UTC(2026, 1, 28));
    const bytes = await writeXlsx({
      sheets: [
        { name: 'Cover', rows: [['Quillfen']] },
        {
          name: 'Beds',
          rows: [HEAD.split(','), ['Heron', 'H1', 20.5, '1,5', 60, 10, 'AZ-1', 'azalea', '=x', 15, 600, day]],
        },
      ],
    });
    const found = await read(bytes);
    if (!('sheets' in found)) throw new Error(found.problem);
    expect(found.sheets.map(({ name, rows }) => [name, rows])).toEqual([
      ['Cover', 1],
      ['Beds', 2],
    ]);
    const reading = readSheet((found.sheets[1]?.text ?? '').replace('=x', 'Ember'), nowhere, metres);
    expect(reading.rows).toMatchObject([{ problems: [], adds: ['house', 'bed', 'lot', 'stretch'] }]);
    expect(reading.intents).toContainEqual(
      expect.objectContaining({ kind: 'bed', body: expect.objectContaining({ length_mm: 20_500, width_mm: 1500 }) }),
    );
    expect(reading.intents).toContainEqual(
      expect.objectContaining({ kind: 'lot', body: expect.objectContaining({ struck_on: '2026-02-28' }) }),
    );
  });

  test('gives of a formula its saved result, and where there is none a row that says so', async () => {
    const row = ['Heron', 'H1', 20, 1.5, 60, 10, 'AZ-1', 'azalea', 'Ember', 15];
    const rows = [HEAD.split(','), [...row, null], ['Heron', 'H2', ...row.slice(2, 6), 'AZ-2', ...row.slice(7), null]];
    const cells = new Map([
      ['1,10', { value: 600, type: 'formula' as const, formula: '60*10', formulaResult: 600 }],
      ['2,10', { value: null, type: 'formula' as const, formula: 'A1+2' }],
    ]);
    const found = await read(await writeXlsx({ sheets: [{ name: 'A', rows, cells }] }));
    if (!('sheets' in found)) throw new Error(found.problem);
    const [good, bad] = rowsOf(found.sheets[0]?.text ?? '');
    expect(good).toBe('');
    expect(bad).toContain('pots: “=A1+2” is a formula without a result.');
  });

  test('of more rows than are read at once is refused with the number', async () => {
    const rows = [['house', 'bed'], ...Array.from({ length: MOST_ROWS + 1 }, (_, at) => ['Heron', `H${at}`])];
    const found = await read(await writeXlsx({ sheets: [{ name: 'A', rows }] }));
    if (!('sheets' in found)) throw new Error(found.problem);
    expect(readSheet(found.sheets[0]?.text ?? '', nowhere, metres).tooMany).toBe(MOST_ROWS + 1);
  });
});

describe('a file that cannot be read', () => {
  test('is told from one that can by what is in it, never by its name', async () => {
    const bytes = (...all: number[]) => new Uint8Array([...all, ...Array.from({ length: 64 }, () => 0)]);
    const zip = await writeXlsx({ sheets: [{ name: 'A', rows: [['a']] }] });
    // The container of .xls and of locked workbooks (MS-CFB 2.2), PNG and PDF by their first bytes.
    expect(await read(bytes(0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1))).toEqual({ problem: 'old' });
    expect(await read(bytes(0x89, 0x50, 0x4e, 0x47))).toEqual({ problem: 'other' });
    expect(await read('%PDF-1.7 ', bytes(0))).toEqual({ problem: 'other' });
    expect(await read(zip.slice(0, -10))).toEqual({ problem: 'damaged' });
    expect(
      await read(new TextDecoder('latin1').decode(zip).replaceAll('xl/workbook.xml', 'content.xml  ')),
    ).not.toHaveProperty('sheets');
    expect(await read('  \n ')).toEqual({ problem: 'empty' });
    expect(await readFile({ size: MOST_BYTES + 1 } as File, open)).toEqual({ problem: 'large' });
    expect(await readFile({ size: 50_000_000 } as File, open)).toEqual({ problem: 'large' });
    expect(
      await readFile({ size: 5, arrayBuffer: () => Promise.reject(new Error('moved')) } as unknown as File, open),
    ).toEqual({ problem: 'gone' });
  });

  test('that would unpack to more than 100 MB is refused by its directory, before it is unpacked', async () => {
    const zip = await writeXlsx({ sheets: [{ name: 'A', rows: [['a']] }] });
    const view = new DataView(zip.buffer, zip.byteOffset, zip.byteLength);
    let at = zip.byteLength - 22;
    while (view.getUint32(at, true) !== 0x06054b50) at--;
    view.setUint32(view.getUint32(at + 16, true) + 24, 200_000_000, true);
    expect(await readFile(file(zip), () => Promise.reject(new Error('was unpacked')))).toEqual({ problem: 'large' });
  });

  test('says in both languages what to do', () => {
    for (const { sheet } of [english, spanish]) {
      for (const said of Object.values(sheet.fileProblem))
        expect(said('20 MB')).toMatch(/(Save|Open|Choose|Guard|guárd|Elija|elíj|Elíj).*\.$/s);
    }
  });
});

describe('a sheet that is hard to read', () => {
  const row = (tail: string) => `Heron,H1,20,1.5,60,10,AZ-1,azalea,Ember,15,600,${tail}`;

  test('with two separators names the first row of the other kind, and adds nothing', () => {
    const reading = readSheet(`${HEAD}\n${row('')}\n${row('').replaceAll(',', ';')}`, nowhere, metres);
    expect(reading).toMatchObject({ mixed: 3, intents: [] });
  });

  test('with two equal headings reads the first and lets somebody choose the other', () => {
    const text = 'house,bed,bed\nHeron,1,H1';
    expect(readSheet(text, nowhere, metres)).toMatchObject({ twice: ['bed'], rows: [{ bed: '1' }] });
    expect(
      readSheet(text, nowhere, metres)
        .columns.filter(({ asks }) => asks)
        .map(({ at }) => at),
    ).toEqual([1, 2]);
    const chosen = readSheet(text, nowhere, metres, { columns: { 2: 'bed', 1: '' } });
    expect(chosen).toMatchObject({ twice: [], rows: [{ bed: 'H1' }] });
  });

  test('with headings that nobody knows is matched by hand, with the unit that the heading names', () => {
    const text = 'Halle,Beet,Länge (ft),w,r,p\nHeron,H1,66,1.5,60,10';
    expect(readSheet(text, nowhere, metres)).toMatchObject({ lacking: ['house', 'bed'], intents: [] });
    const columns = { 0: 'house', 1: 'bed', 2: 'length', 3: 'width', 4: 'rows', 5: 'across' } as const;
    const reading = readSheet(text, nowhere, metres, { columns });
    expect(reading.rows).toMatchObject([{ problems: [], adds: ['house', 'bed'] }]);
    // 1 ft is 304.8 mm by definition (international yard and pound agreement of 1959).
    expect(reading.intents[1]?.body).toMatchObject({ length_mm: 20_117 });
  });

  test('with dates of one form reads them, with dates that contradict each other reads none, and otherwise asks', () => {
    const text = (...days: string[]) =>
      `${HEAD}\n${days.map((day, at) => `Heron,H${at},20,1.5,60,10,AZ-${at},azalea,Ember,15,600,${day}`).join('\n')}`;
    const struck = (sheet: ReturnType<typeof readSheet>) =>
      sheet.intents.flatMap(({ kind, body }) => (kind === 'lot' ? [(body as { struck_on?: string }).struck_on] : []));
    expect(struck(readSheet(text('3/4/2026', '14/3/2026'), nowhere, metres))).toEqual(['2026-04-03', '2026-03-14']);
    expect(struck(readSheet(text('3/4/2026', '3-14-2026'), nowhere, metres))).toEqual(['2026-03-04', '2026-03-14']);
    expect(readSheet(text('14/3/2026', '3/14/2026'), nowhere, metres)).toMatchObject({ order: 'both', intents: [] });
    const open = readSheet(text('3/4/2026'), nowhere, metres);
    expect(open).toMatchObject({ order: 'open', intents: [] });
    expect(struck(readSheet(text('3/4/2026'), nowhere, metres, { columns: {}, order: 'month' }))).toEqual([
      '2026-03-04',
    ]);
    // What spreadsheets make of a time without a date.
    expect(rowsOf(text('1899-12-30'))[0]).toContain('Write it as 2026-03-14');
  });

  test('with °F, formulas or errors in its cells says so of the row', () => {
    expect(rowsOf(`${HEAD}\n${row('').replace(',20,', ',68 °F,')}`)[0]).toContain('“68 °F” is not a length');
    expect(rowsOf(`${HEAD}\n${row('').replace('Ember', '=B2')}`)[0]).toContain('“=B2” is a formula');
    expect(rowsOf(`${HEAD}\n${row('').replace('Ember', '#REF!')}`)[0]).toContain('“#REF!” is a formula');
    // The mark with which our own tables keep a text from being run is taken off again.
    expect(readSheet(`${HEAD}\n${row('').replace('Ember', "'-Ember")}`, nowhere, metres).rows[0]?.cultivar).toBe(
      '-Ember',
    );
  });

  test('of 100,000 rows is refused with one sentence, and none of its rows is read', () => {
    const text = `house,bed\n${'Heron,H1\n'.repeat(100_000)}`;
    expect(readSheet(text, nowhere, metres)).toMatchObject({ tooMany: 100_000, rows: [], intents: [] });
  });
});
