/** Watches how many rows the database hands out at once. */
import { IDBIndex, IDBObjectStore } from 'fake-indexeddb';
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
