import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { canonical } from '../journal/journal.ts';
import { readVectors, vectorFiles } from '../journal/vectors.testing.ts';
import { readTables, TableError } from './tables.ts';

interface Item {
  position: number;
  stamp: unknown;
  entry: string;
}

const cases = readVectors('tables-page.json', ['page'], ['items', 'error']);

test('every vector file of tables is read', () => {
  expect(vectorFiles('tables')).toEqual(['tables-page.json']);
});

describe('a page of tables', () => {
  test.each(cases)('$name', ({ input, want }) => {
    const read = () => readTables(JSON.parse(input['page'] as string));
    if (want['error'] !== undefined) {
      expect(codeOf(read)).toBe(want['error']);
      return;
    }
    const items = read().items.map(({ position, stamp, entry }): Item => ({
      position,
      stamp,
      entry: canonical(entry),
    }));
    expect(items).toEqual(want['items']);
  });

  test('is read or refused, whatever stands in the place of any of its values', () => {
    const whole = JSON.parse(cases[0]?.input['page'] as string) as object;
    const ways = waysIn(whole);
    fc.assert(
      fc.property(fc.constantFrom(...ways), fc.jsonValue(), (way, value) => {
        const page = structuredClone(whole);
        const code = codeOf(() => readTables(put(page, way, value)));
        // Only what says nothing of an entry may be another than it was.
        if (code === '')
          expect(
            isSame(whole, page) || ['epoch', 'head', 'more'].includes(way[0] ?? '') || /now|up_to/.test(way[0] ?? ''),
          ).toBe(true);
      }),
      { numRuns: 300 },
    );
  });
});

/** The ways to all values of a page. */
function waysIn(value: unknown, way: string[] = []): string[][] {
  if (typeof value !== 'object' || value === null) return [way];
  const under = Object.entries(value).flatMap(([name, each]) => waysIn(each, [...way, name]));
  return way.length === 0 ? under : [way, ...under];
}

function put(page: object, way: readonly string[], value: unknown): object {
  let here = page as Record<string, unknown>;
  for (const name of way.slice(0, -1)) here = here[name] as Record<string, unknown>;
  here[way.at(-1) as string] = value;
  return page;
}

/** Whether both pages have the same entries; a page that was read has items that fit the hash, which stood in it before. */
function isSame(was: object, is: object): boolean {
  const texts = [was, is].map((page) =>
    JSON.stringify(readTables(structuredClone(page)).items.map(({ entry }) => canonical(entry))),
  );
  return texts[0] === texts[1];
}

function codeOf(read: () => unknown): string {
  try {
    read();
  } catch (error) {
    if (error instanceof TableError) return error.code;
    throw error;
  }
  return '';
}
