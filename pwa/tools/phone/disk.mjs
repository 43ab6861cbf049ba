/**
 * A phone's storage: databases and the small store beside them. It outlives the app, can be copied, and can be full. What lies on it is
 * read here past the app, since a checker believes no app; for that the inner maps of fake-indexeddb are looked into.
 */
import { IDBFactory, IDBKeyRange, IDBObjectStore } from 'fake-indexeddb';
import { quicken } from './quick.mjs';

/**
 * @typedef {{key: unknown, value: unknown}} Kept
 * @typedef {{records: {values(): Iterable<Kept>, get(key: unknown): Kept | undefined}, keyPath: string | null,
 *   rawIndexes: Map<string, {keyPath: string | string[], multiEntry: boolean, unique: boolean, records: {values(range?: IDBKeyRange): Iterable<Kept>}}>}} RawStore
 * @typedef {{_state: string, db: {_rawDatabase: {full?: boolean}}, _abort(name: string | null): void,
 *   _execRequestAsync(asked: {source: IDBObjectStore, operation: () => void}): IDBRequest}} RawTransaction
 * @typedef {{name: string, version: number, rawObjectStores: Map<string, RawStore>, transactions: RawTransaction[], connections: unknown[],
 *   full?: boolean}} RawBase
 * @typedef {typeof import('./app.ts').unpacked} Unpack
 */

quicken();

const BASE = 'bedwalk';

export class Disk {
  factory = new IDBFactory();
  /** @type {Map<string, string>} */
  slots = new Map();
  /** @type {Map<string, Map<unknown, unknown>>} */
  #seen = new Map();
  /** @type {WeakMap<object, ReturnType<Unpack>>} */
  #read = new WeakMap();
  /**
   * The same of packs that the server may have lost.
   * @type {WeakMap<object, ReturnType<Unpack>>}
   */
  #readUnconfirmed = new WeakMap();

  /** @returns {RawBase[]} */
  #bases() {
    return [
      .../** @type {{_databases: Map<string, RawBase>}} */ (/** @type {unknown} */ (this.factory))._databases.values(),
    ];
  }

  /** @param {string} name */
  #store(name) {
    return this.#bases()
      .find((base) => base.name === BASE)
      ?.rawObjectStores.get(name);
  }

  /** The process that used it has ended: what was not committed never was. */
  crash() {
    for (const base of this.#bases()) {
      for (const each of base.transactions) if (each._state !== 'finished') each._abort(null);
      base.transactions = [];
      base.connections = [];
    }
    // Nobody waits any more for an opening that ended with the process.
    /** @type {{_connectionQueues: Map<string, unknown>}} */ (
      /** @type {unknown} */ (this.factory)
    )._connectionQueues.clear();
  }

  /** @param {boolean} full */
  fill(full) {
    for (const base of this.#bases()) base.full = full;
  }

  /** @returns {Promise<Disk>} */
  async copy() {
    const other = new Disk();
    other.slots = new Map(this.slots);
    for (const base of this.#bases()) await copyBase(base, other.factory);
    return other;
  }

  /** @param {keyof import('../../src/journal/store/shape').Meta} key @returns {unknown} */
  meta(key) {
    return this.#store('meta')?.records.get(key)?.value;
  }

  /** @param {import('../../src/journal/store/entryState').EntryState} state */
  count(state) {
    const states = this.#store('entries')?.rawIndexes.get('state')?.records;
    return [...(states?.values(IDBKeyRange.only(state)) ?? [])].length;
  }

  /**
   * What was put into a store, and which keys went out of it, since this was last asked. What was put is another object each time,
   * so nothing else has to be compared, and what has not changed is neither written out nor read again.
   * @param {'entries' | 'records'} store
   * @param {Unpack} unpack reads a pack
   * @returns {{whole: boolean, put: unknown[], gone: unknown[]}} whole when it was not asked before
   */
  changes(store, unpack) {
    const before = this.#seen.get(store);
    // What has a row is what the row says.
    const now = new Map(this.#packed(store, unpack));
    for (const { key, value } of this.#store(store)?.records.values() ?? []) now.set(key, value);
    this.#seen.set(store, now);
    return {
      whole: before === undefined,
      put: [...now].filter(([key, value]) => before?.get(key) !== value).map(([, value]) => value),
      gone: [...(before?.keys() ?? [])].filter((key) => !now.has(key)),
    };
  }

  /**
   * What lies in packs. A body never changes, so each is read once, and what was read of it stays the same object.
   * @param {'entries' | 'records'} store
   * @param {Unpack} unpack
   * @returns {[unknown, unknown][]}
   */
  #packed(store, unpack) {
    const bodies = this.#store('packed')?.records;
    return [...(this.#store('packs')?.records.values() ?? [])].flatMap(({ value }) => {
      const head = /** @type {import('../../src/journal/store/shape').PackHead} */ (value);
      const body = /** @type {import('../../src/journal/store/packs/columns').PackBody | undefined} */ (
        bodies?.get(head.body)?.value
      );
      if (!body) return [];
      const read = head.unconfirmed ? this.#readUnconfirmed : this.#read;
      const whole = read.get(body) ?? unpack({ ...head, out: [] }, body);
      read.set(body, whole);
      const out = new Set(head.out.map((at) => whole.entries[at]?.id));
      /** @type {{key: string, id: string, row: object}[]} */
      const rows =
        store === 'entries'
          ? whole.entries.map((row) => ({ key: row.id, id: row.id, row }))
          : whole.records.map((row) => ({ key: row.key, id: row.key.slice('pot:'.length), row }));
      return rows
        .filter(({ id }) => !out.has(id))
        .map(({ key, row }) => /** @type {[unknown, unknown]} */ ([key, row]));
    });
  }
}

/** @param {RawBase} base @param {IDBFactory} into */
function copyBase(base, into) {
  return new Promise((done, fail) => {
    const asked = into.open(base.name, base.version);
    asked.addEventListener('upgradeneeded', () => {
      for (const [name, store] of base.rawObjectStores) {
        const made = asked.result.createObjectStore(name, { keyPath: store.keyPath });
        for (const [index, { keyPath, ...rest }] of store.rawIndexes)
          made.createIndex(index, keyPath, { multiEntry: rest.multiEntry, unique: rest.unique });
        for (const { key, value } of store.records.values())
          made.put(value, store.keyPath === null ? /** @type {IDBValidKey} */ (key) : undefined);
      }
    });
    asked.addEventListener('success', () => {
      asked.result.close();
      done(undefined);
    });
    asked.addEventListener('error', () => fail(asked.error));
  });
}

// A write onto a full disk fails when its turn comes, and takes its whole transaction back, as in browsers.
for (const name of /** @type {const} */ (['put', 'add'])) {
  const write = IDBObjectStore.prototype[name];
  IDBObjectStore.prototype[name] = /** @type {never} */ (
    /** @this {IDBObjectStore} @param {[unknown]} args */
    function (...args) {
      const work = /** @type {RawTransaction} */ (/** @type {unknown} */ (this.transaction));
      if (!work.db._rawDatabase.full) return write.apply(this, args);
      const operation = () => {
        throw new DOMException('The disk is full.', 'QuotaExceededError');
      };
      return work._execRequestAsync({ source: this, operation });
    }
  );
}
