import { describe, expect, test } from 'vitest';
import { pathOf } from './Code';
import { codeSide, faultsOf, LEAST_CODE_MM, nameOf, pagesOf, spotOf, stocks, typeSize, type Stock } from './stock';

const sheet = stocks[0] as Stock;

describe('the stocks that Bedwalk starts with', () => {
  test.each(stocks.map((stock) => [nameOf(stock, String), stock] as const))('%s can be printed on', (_, stock) => {
    expect(faultsOf(stock)).toEqual([]);
    expect(codeSide(stock)).toBeGreaterThanOrEqual(LEAST_CODE_MM);
    expect(codeSide(stock) + typeSize(stock) * 5).toBeLessThan(stock.wide + stock.high);
  });
});

describe('a stock that cannot be', () => {
  test('labels wider than the page are named with how much', () => {
    expect(faultsOf({ ...sheet, left: 5 })).toEqual([{ code: 'wide', over: 5 }]);
  });

  test('labels higher than the page', () => {
    expect(faultsOf({ ...sheet, rows: 9 })[0]).toMatchObject({ code: 'high' });
  });

  test('a label too small for a code that can be read in a bed', () => {
    expect(faultsOf({ ...sheet, wide: 30, high: 15 })[0]).toMatchObject({ code: 'small' });
  });

  test('half a column, no width, nothing typed', () => {
    expect(faultsOf({ ...sheet, columns: 1.5 })[0]).toMatchObject({ code: 'number', field: 'columns' });
    expect(faultsOf({ ...sheet, wide: 0 })[0]).toMatchObject({ code: 'number', field: 'wide' });
    expect(faultsOf({ ...sheet, top: Number.NaN })[0]).toMatchObject({ code: 'number', field: 'top' });
  });
});

describe('tags on paper', () => {
  test('lie row by row, each at its millimetres', () => {
    expect(spotOf(sheet, 0)).toEqual({ left: 0, top: 4.5 });
    expect(spotOf(sheet, 4)).toEqual({ left: 70, top: 40.5 });
  });

  test('leave free what is used already, on the first page only', () => {
    const tags = Array.from({ length: 30 }, (_, index) => index);
    const pages = pagesOf(tags, sheet, 20);
    expect(pages.map((page) => page.length)).toEqual([4, 24, 2]);
    expect(pages[0]?.[0]).toEqual({ nth: 20, tag: 0 });
    expect(pages[1]?.[0]).toEqual({ nth: 0, tag: 4 });
  });

  test('a whole used sheet still leaves one place, or nothing would be printed', () => {
    expect(pagesOf(['a'], sheet, 99)).toEqual([[{ nth: 23, tag: 'a' }]]);
  });
});

test('dark modules in a row are drawn as one bar', () => {
  expect(
    pathOf([
      [true, true, false, true],
      [false, false, false, false],
      [false, true, true, true],
    ]),
  ).toBe('M0 0h2v1h-2zM3 0h1v1h-1zM1 2h3v1h-3z');
});
