/**
 * What an app finds around itself: the globals of a browser's worker, of which time, chance, network and storage are the simulator's.
 * There is no document, no socket and no other tab.
 */
import * as fake from 'fake-indexeddb';
import { gzipSync } from 'node:zlib';
import { add } from './tasks.mjs';

/** @typedef {import('./phone.mjs').Phone} Phone */

/** The names under which an app finds them. */
export const names =
  'indexedDB IDBKeyRange IDBDatabase IDBTransaction IDBObjectStore IDBIndex IDBCursor IDBRequest Date performance setTimeout clearTimeout fetch navigator crypto Math localStorage MessageChannel AbortSignal Blob CompressionStream Response BroadcastChannel Worker document requestIdleCallback'.split(
    ' ',
  );

/**
 * @param {Phone} phone
 * @returns {Record<string, unknown>}
 */
export function globalsOf(phone) {
  const random = chance(phone.seed);
  return {
    ...fake,
    indexedDB: phone.disk.factory,
    Date: clock(phone),
    performance: { now: () => phone.mono },
    setTimeout: (/** @type {() => void} */ what, /** @type {number} */ ms) => phone.later(what, ms),
    clearTimeout: (/** @type {number} */ id) => phone.timers.delete(id),
    fetch: (/** @type {string} */ path, /** @type {RequestInit} */ init) => phone.fetch(path, init),
    navigator: { onLine: true, locks: new Locks() },
    crypto: {
      getRandomValues: (/** @type {Uint8Array} */ into) => into.fill(0).map((_, i) => (into[i] = random() * 256)),
    },
    Math: Object.create(Math, { random: { value: random } }),
    localStorage: slots(phone),
    MessageChannel: Channel,
    AbortSignal: { timeout: (/** @type {number} */ ms) => new Signal(phone, ms) },
    Blob: Packing,
    CompressionStream: Object,
    Response: Packed,
  };
}

/** @param {Phone} phone */
function clock(phone) {
  return class extends Date {
    /** @override */
    static now() {
      return phone.wall;
    }
  };
}

/** @param {Phone} phone */
function slots({ disk }) {
  return {
    getItem: (/** @type {string} */ key) => disk.slots.get(key) ?? null,
    setItem: (/** @type {string} */ key, /** @type {string} */ value) => void disk.slots.set(key, value),
    removeItem: (/** @type {string} */ key) => void disk.slots.delete(key),
  };
}

/**
 * Numbers from 0 to 1 by a seed: 32 bits of a counter, mixed (the finalizer of MurmurHash3).
 * @param {number} seed
 */
function chance(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x9e3779b9) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 16), 0x85ebca6b);
    mixed = Math.imul(mixed ^ (mixed >>> 13), 0xc2b2ae35);
    return ((mixed ^ (mixed >>> 16)) >>> 0) / 2 ** 32;
  };
}

/** An abort signal on the simulated clock. A request that is over ends its own, so that no timer wakes a phone for nothing. */
export class Signal {
  #phone;
  #timer;
  aborted = false;
  /** @type {Error | undefined} */
  reason;
  /** @type {(() => void)[]} */
  #heard = [];

  /** @param {Phone} phone @param {number} ms */
  constructor(phone, ms) {
    this.#phone = phone;
    this.#timer = phone.later(() => {
      this.aborted = true;
      this.reason = new DOMException('The time is over.', 'TimeoutError');
      for (const each of this.#heard) each();
    }, ms);
  }

  /** @param {string} _type @param {() => void} listen */
  addEventListener(_type, listen) {
    this.#heard.push(listen);
  }

  end() {
    this.#phone.timers.delete(this.#timer);
  }
}

/** One lock after another, as within one tab. */
class Locks {
  /** @type {Promise<unknown>} */
  #last = Promise.resolve();

  /** @param {string} _name @param {() => Promise<unknown>} work */
  request(_name, work) {
    const now = this.#last.then(work);
    this.#last = now.catch(() => undefined);
    return now;
  }
}

/** A task of its own, for pause.ts. */
class Channel {
  /** @type {(() => void) | undefined} */
  #hear;
  port1 = {
    addEventListener: (/** @type {string} */ _type, /** @type {() => void} */ hear) => void (this.#hear = hear),
    start() {},
    close() {},
  };
  port2 = { postMessage: () => add(() => this.#hear?.()) };
}

// Node's own streams take turns of the real event loop, which are not the same twice; gzip itself is.
class Packing {
  /** @param {string[]} parts */
  constructor(parts) {
    this.text = parts.join('');
  }

  stream() {
    return { pipeThrough: () => gzipSync(this.text) };
  }
}

class Packed {
  /** @param {Buffer} bytes */
  constructor(bytes) {
    this.bytes = bytes;
  }

  arrayBuffer() {
    return Promise.resolve(this.bytes);
  }
}
