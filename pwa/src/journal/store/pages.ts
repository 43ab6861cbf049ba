/**
 * Reads of bounded size. A device may hold a million entries, and a browser ends an app that asks for all of them at once; so nothing of
 * the journal is read without a limit. Whoever needs a whole, as a record needs all its entries, receives it here page by page.
 */
import { PAGE } from './pageSize';

/** What pages are read from: a store, or an index of one. */
interface Source<T> {
  getAll: (range?: never, most?: number) => Promise<T[]>;
}

interface Step<T> {
  readonly value: T;
  readonly primaryKey: IDBValidKey;
  continue: () => Promise<Step<T> | null>;
  continuePrimaryKey: (key: never, primaryKey: never) => Promise<Step<T> | null>;
}

export interface Index<T> extends Source<T> {
  openCursor: (range?: never) => Promise<Step<T> | null>;
}

/** Reads the next page of a store in the order of its keys. @param after the last key of the page before, '' for the first */
export function pageAfter<T>(store: Source<T>, after: string): Promise<T[]> {
  return store.getAll(IDBKeyRange.lowerBound(after, true) as never, PAGE);
}

/** Reads all rows of a store between two keys. @param keyOf the key of a row there */
export async function allBetween<T>(
  store: Source<T>,
  first: string,
  last: string,
  keyOf: (row: T) => string,
): Promise<T[]> {
  const found: T[] = [];
  for (let [after, open] = [first, false]; ;) {
    const page = await store.getAll(IDBKeyRange.bound(after, last, open) as never, PAGE);
    for (const row of page) found.push(row);
    const end = page[page.length - 1];
    if (end === undefined || page.length < PAGE) return found;
    [after, open] = [keyOf(end), true];
  }
}

/**
 * Reads the next page of the rows that an index has under one key, in the order of their primary keys. A row that has left the index
 * since, or has come into it, puts nothing out of order.
 * @param after the last primary key of the page before, '' for the first
 */
export async function pageUnder<T>(index: Index<T>, key: IDBValidKey, after: string): Promise<T[]> {
  if (after === '') return index.getAll(key as never, PAGE);
  let step = await index.openCursor(key as never);
  if (step && indexedDB.cmp(step.primaryKey, after) < 0) {
    step = await step.continuePrimaryKey(key as never, after as never);
  }
  if (step && indexedDB.cmp(step.primaryKey, after) === 0) step = await step.continue();
  const page: T[] = [];
  while (step) {
    page.push(step.value);
    step = page.length < PAGE ? await step.continue() : null;
  }
  return page;
}

/** Reads all rows that an index has under one key. @param idOf the primary key of a row */
export async function allUnder<T>(index: Index<T>, key: IDBValidKey, idOf: (row: T) => string): Promise<T[]> {
  const first = await pageUnder(index, key, '');
  if (first.length < PAGE) return first;
  const found = [...first];
  for (let page = first; page.length === PAGE;) {
    page = await pageUnder(index, key, idOf(page[page.length - 1] as T));
    for (const row of page) found.push(row);
  }
  return found;
}

/** Reads the next page of the outbox, in the order of sending. @param after incarnation and sequence of the last, [] for the first */
export function pageOfPending<T>(index: Source<T>, after: readonly number[]): Promise<T[]> {
  return index.getAll(IDBKeyRange.lowerBound(after, true) as never, PAGE);
}
