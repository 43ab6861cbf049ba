/**
 * Two shortcuts for fake-indexeddb, which took a fifth of a simulated phone's time. Each takes over only where the long way is known to
 * give the same, and else goes the long way; quick.test.ts compares them.
 */
import { IDBObjectStore } from 'fake-indexeddb';

const long = globalThis.structuredClone;

/** What `plain` says of a value that it leaves to Node. */
const other = Symbol('other');

/**
 * structuredClone without the way through Node's serializer, for what JSON can say, undefined and big integers. A copy keeps which of its
 * parts are one and the same object; where a value has such parts, or is of another kind, Node copies the whole of it.
 * @template T
 * @param {T} value
 * @param {StructuredSerializeOptions} [options]
 * @returns {T}
 */
export function clone(value, options) {
  if (options !== undefined) return long(value, options);
  const copy = plain(value, new Set());
  return copy === other ? long(value) : /** @type {T} */ (copy);
}

/**
 * @param {unknown} value
 * @param {Set<object>} met
 * @returns {unknown} a copy, or `other`
 */
function plain(value, met) {
  if (typeof value === 'function' || typeof value === 'symbol') return other;
  if (typeof value !== 'object' || value === null) return value;
  if (met.has(value)) return other;
  met.add(value);
  const names = Object.keys(value);
  /** @type {any} */
  let copy;
  if (Array.isArray(value) && names.length === value.length) copy = [];
  else if (Object.getPrototypeOf(value) === Object.prototype) copy = {};
  else return other;
  for (const name of names) {
    const part = plain(/** @type {Record<string, unknown>} */ (value)[name], met);
    if (part === other || name === '__proto__') return other;
    copy[name] = part;
  }
  return copy;
}

/** @typedef {{keyPath: string | string[], getIndexKey(value: unknown): unknown}} RawIndex */

/**
 * An index leaves out a record that has no such key. fake-indexeddb finds that by an error, with the stack that belongs to it, on every
 * write of every record.
 * @param {RawIndex} index the prototype of all
 */
function withoutError(index) {
  const found = index.getIndexKey;
  index.getIndexKey = /** @this {RawIndex} @param {unknown} value */ function (value) {
    return lacksKey(value, this.keyPath) ? undefined : found.call(this, value);
  };
}

/** @param {unknown} value @param {string | string[]} path @returns {boolean} false also where it is not known */
function lacksKey(value, path) {
  if (typeof value !== 'object' || value === null || Object.getPrototypeOf(value) !== Object.prototype) return false;
  if (typeof path !== 'string') return path.some((part) => lacksKey(value, part));
  if (path === '' || path.includes('.')) return false;
  return !Object.hasOwn(value, path) || /** @type {Record<string, unknown>} */ (value)[path] === undefined;
}

/** Puts both in place. */
export function quicken() {
  globalThis.structuredClone = /** @type {typeof structuredClone} */ (clone);
  // The class of indexes is not exported: it is met with the first index that is made.
  const { createIndex } = IDBObjectStore.prototype;
  let met = false;
  IDBObjectStore.prototype.createIndex = /** @this {IDBObjectStore} @param {[never, never]} args */ function (...args) {
    const made = createIndex.apply(this, args);
    const raw = /** @type {{_rawIndex: RawIndex}} */ (/** @type {unknown} */ (made))._rawIndex;
    if (!met) withoutError(Object.getPrototypeOf(raw));
    met = true;
    return made;
  };
}
