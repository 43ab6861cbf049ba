/** Label stock by its measures alone, in millimetres, and how tags lie on it. Every layout is a start to be changed. */

export interface Stock {
  pageWide: number;
  pageHigh: number;
  columns: number;
  rows: number;
  /** One label. */
  wide: number;
  high: number;
  /** From the page's corner to the first label's. */
  left: number;
  top: number;
  gapX: number;
  gapY: number;
}

/** Sheets of sticky labels and rolls of single ones, in sizes that are common everywhere; named by what they measure. */
export const stocks: readonly Stock[] = [
  { pageWide: 210, pageHigh: 297, columns: 3, rows: 8, wide: 70, high: 36, left: 0, top: 4.5, gapX: 0, gapY: 0 },
  {
    pageWide: 210,
    pageHigh: 297,
    columns: 2,
    rows: 7,
    wide: 99.1,
    high: 38.1,
    left: 4.65,
    top: 15.15,
    gapX: 2.5,
    gapY: 0,
  },
  {
    pageWide: 215.9,
    pageHigh: 279.4,
    columns: 3,
    rows: 10,
    wide: 66.7,
    high: 25.4,
    left: 4.8,
    top: 12.7,
    gapX: 3.1,
    gapY: 0,
  },
  {
    pageWide: 215.9,
    pageHigh: 279.4,
    columns: 2,
    rows: 5,
    wide: 101.6,
    high: 50.8,
    left: 4,
    top: 12.7,
    gapX: 4.7,
    gapY: 0,
  },
  { pageWide: 50, pageHigh: 25, columns: 1, rows: 1, wide: 50, high: 25, left: 0, top: 0, gapX: 0, gapY: 0 },
  { pageWide: 100, pageHigh: 25, columns: 1, rows: 1, wide: 100, high: 25, left: 0, top: 0, gapX: 0, gapY: 0 },
];

/** What a measure may be, so that a slip does not print on paper of a metre. */
const bounds: Record<keyof Stock, readonly [low: number, high: number]> = {
  pageWide: [15, 450],
  pageHigh: [15, 450],
  columns: [1, 20],
  rows: [1, 40],
  wide: [15, 450],
  high: [15, 450],
  left: [0, 100],
  top: [0, 100],
  gapX: [0, 100],
  gapY: [0, 100],
};

export const measures = Object.keys(bounds) as (keyof Stock)[];

/** White modules around a code that a reader needs to find it (ISO/IEC 18004). */
export const QUIET = 4;
/** A code narrower than this is hard to read on a wet tag at arm's length (common practice, no source). */
export const LEAST_CODE_MM = 15;
/** A code need not be larger than this either: the room is better spent on the words. */
const MOST_CODE_MM = 30;
/** Between the label's edge and what is printed: printers do not feed to a hair. */
const EDGE_MM = 1.5;
/** About 6 and 14 points. */
const LEAST_TYPE_MM = 2.2;
const MOST_TYPE_MM = 5;
/** Words need this much beside the code, or they go below it. */
const WORDS_MM = 18;

export type Fault =
  | { code: 'number'; field: keyof Stock; low: number; high: number }
  | { code: 'wide' | 'high'; over: number }
  | { code: 'small'; side: number };

/** What keeps this stock from being printed on. */
export function faultsOf(stock: Stock): Fault[] {
  const numbers = measures.flatMap((field): Fault[] => {
    const [low, high] = bounds[field];
    const value = stock[field];
    const isCount = field === 'columns' || field === 'rows';
    const isGood = value >= low && value <= high && (!isCount || Number.isInteger(value));
    return isGood ? [] : [{ code: 'number', field, low, high }];
  });
  if (numbers.length > 0) return numbers;
  const faults: Fault[] = [];
  const overWide = stock.left + stock.columns * stock.wide + (stock.columns - 1) * stock.gapX - stock.pageWide;
  const overHigh = stock.top + stock.rows * stock.high + (stock.rows - 1) * stock.gapY - stock.pageHigh;
  // A tenth of a millimetre is how measures on a package are rounded.
  if (overWide > 0.1) faults.push({ code: 'wide', over: overWide });
  if (overHigh > 0.1) faults.push({ code: 'high', over: overHigh });
  const side = codeSide(stock);
  if (side < LEAST_CODE_MM) faults.push({ code: 'small', side });
  return faults;
}

/** Side of the code in mm, its quiet edge included. */
export function codeSide(stock: Stock): number {
  const room = Math.min(stock.high - 2 * EDGE_MM, stock.wide - 2 * EDGE_MM - (isTall(stock) ? 0 : WORDS_MM));
  return Math.max(0, Math.min(MOST_CODE_MM, room));
}

/** Size of the printed words in mm: as large as label and code leave room for, and never too small to be read. */
export function typeSize(stock: Stock): number {
  const side = codeSide(stock);
  const wide = stock.wide - 2 * EDGE_MM - (isTall(stock) ? 0 : side);
  const high = stock.high - 2 * EDGE_MM - (isTall(stock) ? side : 0);
  return Math.max(LEAST_TYPE_MM, Math.min(MOST_TYPE_MM, wide / 10, high / 7));
}

/** True for labels higher than wide, where the words stand below the code. */
export function isTall(stock: Stock): boolean {
  return stock.high > stock.wide;
}

export interface Spot {
  left: number;
  top: number;
}

/** Where the nth label of a page lies: row by row, as sheets are peeled. */
export function spotOf(stock: Stock, nth: number): Spot {
  const column = nth % stock.columns;
  const row = Math.floor(nth / stock.columns);
  return { left: stock.left + column * (stock.wide + stock.gapX), top: stock.top + row * (stock.high + stock.gapY) };
}

/** Lays tags out over pages, leaving free what is used already on the first. */
export function pagesOf<T>(tags: readonly T[], stock: Stock, used: number): { nth: number; tag: T }[][] {
  const onPage = stock.columns * stock.rows;
  const pages: { nth: number; tag: T }[][] = [];
  tags.forEach((tag, index) => {
    const place = index + Math.min(used, onPage - 1);
    const page = Math.floor(place / onPage);
    (pages[page] ??= []).push({ nth: place % onPage, tag });
  });
  return pages;
}

/** The name of a stock: its page and its labels, as they measure. */
export function nameOf(stock: Stock, write: (value: number) => string): string {
  const label = `${write(stock.wide)} × ${write(stock.high)} mm`;
  if (stock.columns * stock.rows === 1) return label;
  return `${write(stock.pageWide)} × ${write(stock.pageHigh)} mm: ${stock.columns} × ${stock.rows}, ${label}`;
}
