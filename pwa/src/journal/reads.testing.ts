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
  return {
    wasClosed: () => {
      left = -1;
      return closed.size > 0;
    },
  };
}
