/** Watches how many rows the database hands out at once, and has the app closed between two writes. */
import { IDBDatabase, IDBIndex, IDBObjectStore } from 'fake-indexeddb';
import { vi } from 'vitest';

/** Notes every reading from now on, until the mocks are restored. */
export function watchReads(): { rows: () => number; forget: () => void } {
  let largest = 0;
  for (const source of [IDBObjectStore.prototype, IDBIndex.prototype]) {
    for (const name of ['getAll', 'getAllKeys'] as const) {
      const real = source[name];
      vi.spyOn(source, name).mockImplementation(function (this: IDBObjectStore & IDBIndex, ...asked) {
        const request = real.apply(this, asked);
        request.addEventListener('success', () => {
          largest = Math.max(largest, request.result.length);
        });
        return request;
      });
    }
  }
  return { rows: () => largest, forget: () => (largest = 0) };
}

/** Has the app closed before it begins one more transaction that writes, after so many of them. */
export function closeAfter(writes: number): { wasClosed: () => boolean } {
  let left = writes;
  const closed = new Set<IDBDatabase>();
  const real = IDBDatabase.prototype.transaction;
  vi.spyOn(IDBDatabase.prototype, 'transaction').mockImplementation(function (this: IDBDatabase, ...asked) {
    if (asked[1] === 'readwrite' && left-- === 0) closed.add(this);
    if (closed.has(this)) throw new Error('the app was closed');
    return real.apply(this, asked);
  });
  const waits: ReturnType<typeof setTimeout>[] = [];
  const wait = globalThis.setTimeout;
  vi.spyOn(globalThis, 'setTimeout').mockImplementation(((...asked: Parameters<typeof wait>) => {
    const id = wait(...asked);
    waits.push(id);
    return id;
  }) as typeof wait);
  return {
    wasClosed: () => {
      left = -1;
      // What is closed does not try again later, beside the app that is opened on the same disk.
      if (closed.size > 0) for (const id of waits) clearTimeout(id);
      return closed.size > 0;
    },
  };
}
