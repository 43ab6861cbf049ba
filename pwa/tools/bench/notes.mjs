/** What the peers' scripts share: the same notes for all, and figures as JSON lines, one a measured thing. */
import { readFileSync } from 'node:fs';

/** @typedef {import('../../../schema/types.ts').Stamped} Stamped */

/**
 * @param {string} path a file that `bench notes` wrote
 * @returns {Stamped[]}
 */
export function readNotes(path) {
  return readFileSync(path, 'utf8')
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line));
}

/**
 * What a peer stores of a note: what was seen, where, by whom and when. The device's numbering, session and schema
 * version are left out, since each peer keeps such things in its own way.
 * @param {Stamped} note
 */
export function content({ entry }) {
  const { kind, person, lot, bed, wall, body } = entry;
  return { kind, person, ...(lot ? { lot } : {}), ...(bed ? { bed } : {}), wall, .../** @type {object} */ (body) };
}

/**
 * @template T
 * @param {T[]} all
 * @param {number} size
 * @returns {T[][]}
 */
export function inBatches(all, size) {
  const batches = [];
  for (let from = 0; from < all.length; from += size) batches.push(all.slice(from, from + size));
  return batches;
}

/**
 * @template T
 * @param {T[]} all
 * @param {(one: T) => string} nameOf
 */
export function groupedBy(all, nameOf) {
  /** @type {Map<string, T[]>} */
  const groups = new Map();
  for (const one of all) {
    const name = nameOf(one);
    const group = groups.get(name);
    if (group) group.push(one);
    else groups.set(name, [one]);
  }
  return groups;
}

/**
 * @param {string} name
 * @param {string} unit
 * @param {number} value
 */
export function figure(name, unit, value) {
  process.stdout.write(`${JSON.stringify({ name, unit, runs: [value] })}\n`);
}

/**
 * Runs something once and returns the seconds that it took.
 * @param {() => unknown} work
 */
export async function seconds(work) {
  const began = performance.now();
  await work();
  return (performance.now() - began) / 1000;
}
