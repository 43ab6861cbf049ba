/**
 * A map that a page of the journal changes a little at a time, and that is followed like a signal. It is one map, changed in place: a copy for
 * each change would cost as much as all rows, of a large nursery's walks a tenth of a second a page. So whoever keeps it sees what it
 * holds later, too, and must not compare it with what it was.
 */
import { signal } from '@preact/signals-core';

export class Current<V> {
  readonly #rows = new Map<string, V>();
  readonly #changes = signal(0);

  /** Everything as it is now; who reads this in a computed value or a component is called again after each change. */
  get value(): ReadonlyMap<string, V> {
    void this.#changes.value;
    return this.#rows;
  }

  /** One row, without following what becomes of it. */
  peek(key: string): V | undefined {
    return this.#rows.get(key);
  }

  /** Puts or, where there is no row any more, takes out. What was not there and is not there now changes nothing. */
  change(rows: Iterable<readonly [key: string, row: V | undefined]>): void {
    let isChanged = false;
    for (const [key, row] of rows) {
      if (row !== undefined) this.#rows.set(key, row);
      else if (!this.#rows.delete(key)) continue;
      isChanged = true;
    }
    if (isChanged) this.#changes.value = this.#changes.peek() + 1;
  }
}
