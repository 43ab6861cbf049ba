/** Tables as one XLSX. A script of its own: only who asks for a workbook loads the library. */
import { writeXlsx } from 'hucre/xlsx';

export interface Table {
  name: string;
  /** Objects as the server gives them, or rows of cells with their headings first. */
  rows: readonly (readonly Value[])[];
}

type Value = string | number | boolean | null;

/** One row fewer than a sheet has (ECMA-376; Excel's own limit of 1,048,576 from memory), for the headings. */
export const MOST_XLSX_ROWS = 1_048_575;

/**
 * Objects as rows under one line of headings. What lies in a part of an object stands under both names ("place.row"), but of a pot's
 * observation under its own alone; lists stand as JSON.
 */
export function rowsOf(objects: readonly object[]): Value[][] {
  const flat = objects.map((each) => {
    const cells = new Map<string, Value>();
    put(cells, '', each);
    return cells;
  });
  const head = [...new Set(flat.flatMap((cells) => [...cells.keys()]))];
  return [head, ...flat.map((cells) => head.map((name) => cells.get(name) ?? null))];
}

function put(cells: Map<string, Value>, under: string, of: object): void {
  for (const [name, value] of Object.entries(of) as [string, unknown][]) {
    const key = under === '' ? name : `${under}.${name}`;
    if (Array.isArray(value)) cells.set(key, JSON.stringify(value));
    else if (typeof value === 'object' && value !== null) put(cells, name === 'now' && under === '' ? '' : key, value);
    else if (!cells.has(key)) cells.set(key, value as Value);
  }
}

/**
 * A sheet a table. Text stays text whatever it begins with: a workbook, unlike a CSV, says of each cell what it is.
 * @throws where a table has more rows than a sheet
 */
export async function workbookOf(tables: readonly Table[]): Promise<Uint8Array> {
  const sheets = tables.map(({ name, rows }) => {
    if (rows.length > MOST_XLSX_ROWS + 1) throw new RangeError(name);
    // No longer name, and none of these signs (as above).
    return { name: name.replace(/[[\]:*?/\\]/g, '-').slice(0, 31), rows: rows.map((row) => [...row]) };
  });
  return writeXlsx({ sheets });
}
