/** What stands in a phone's own databases. */
import type { Page } from 'playwright-core';

/** Rows of a store that have what is asked: the value where one is given, any value for true. */
export function rowsOf(
  page: Page,
  base: string,
  store: string,
  having: { [field: string]: unknown } = {},
): Promise<unknown[]> {
  return page.evaluate(
    ([base, store, having]) =>
      new Promise<unknown[]>((done, fail) => {
        const opening = indexedDB.open(base);
        opening.addEventListener('error', () => fail(opening.error));
        opening.addEventListener('success', () => {
          const reading = opening.result.transaction(store).objectStore(store).getAll();
          reading.addEventListener('success', () => {
            opening.result.close();
            const fits = (row: { [field: string]: unknown }) =>
              Object.entries(having).every(([field, value]) =>
                value === true ? row[field] !== undefined : row[field] === value,
              );
            done((reading.result as { [field: string]: unknown }[]).filter(fits));
          });
        });
      }),
    [base, store, having] as const,
  );
}
