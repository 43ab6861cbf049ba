/** The sheets of an XLSX as text with tabs, as if its cells had been copied. This is the one file that knows the library. */
import { readXlsx } from 'hucre/xlsx';
import Papa from 'papaparse';

export interface SheetText {
  name: string;
  text: string;
  rows: number;
}

/**
 * Values alone count: of a formula the result that the spreadsheet program saved, or the formula itself where it saved none. Days come as
 * 2026-03-14 and numbers with the reader's own decimal mark.
 * @param most rows a sheet; what lies beyond is not read
 * @throws where the file is damaged, encrypted or no workbook
 */
export async function sheetTexts(bytes: Uint8Array, mark: '.' | ',', most: number): Promise<SheetText[]> {
  const { sheets } = await readXlsx(bytes, { maxRows: most });
  const plain = (value: unknown, formula: string | undefined): string => {
    if (value instanceof Date) return value.toISOString().slice(0, 10);
    if (typeof value === 'number') return String(value).replace('.', mark);
    if (value === null || value === undefined || value === '') return formula === undefined ? '' : `=${formula}`;
    return String(value);
  };
  return sheets
    .filter(({ hidden, veryHidden }) => !hidden && !veryHidden)
    .map(({ name, rows, cells }) => {
      const texts = rows.map((row, y) => [...row].map((value, x) => plain(value, cells?.get(`${y},${x}`)?.formula)));
      return {
        name,
        text: Papa.unparse(texts, { delimiter: '\t' }),
        rows: texts.filter((row) => row.some((text) => text !== '')).length,
      };
    })
    .filter(({ rows }) => rows > 0);
}
