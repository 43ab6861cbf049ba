/**
 * Which of the server's tests run under the race detector. It makes SQLite in Go about ten times slower, and can find something only where
 * two goroutines meet: so it watches the tests of those files that begin goroutines, or that let a server answer callers side by side,
 * and all others run without it. A test that comes to such a file is watched by itself; nothing has to be listed.
 */
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { root } from './steps.mjs';

/** How a test file begins goroutines: by itself, by a group, by a server of its own, or by a phone that listens to the hub. */
const begins = /\bgo (?:func\b|[\w.]+\()|\.Go\(|httptest\.New(?:TLS)?Server\(|\.listen\(/;

/** What drives another process, of which the detector sees nothing, and what has a step of its own in `npm test`. */
const without = ['server/killtest', 'server/simrun'];

/**
 * @typedef {object} Raced
 * @property {string[]} packages as `go test` takes them
 * @property {string} names a regular expression of the tests' names
 */

/**
 * @param {Record<string, string>} files the text of test files by path
 * @returns {Raced}
 */
export function racedOf(files) {
  const packages = new Set();
  /** @type {Map<string, string[]>} */
  const byName = new Map();
  const names = new Set();
  for (const [path, text] of Object.entries(files)) {
    const folder = path.replace(/\/[^/]*$/, '');
    const raced = begins.test(text) && !without.includes(folder);
    for (const [, name = ''] of text.matchAll(/^func (Test\w+)\(t \*testing\.T\)/gm)) {
      byName.set(name, [...(byName.get(name) ?? []), path]);
      if (!raced) continue;
      names.add(name);
      packages.add(`./${folder}`);
    }
  }
  for (const name of names) {
    const twice = byName.get(name) ?? [];
    if (twice.length > 1) {
      throw new Error(
        `${name} is in ${twice.join(' and ')}; rename one, for one is chosen by its name to run under the race detector`,
      );
    }
  }
  return { packages: [...packages], names: `^(${[...names].join('|')})$` };
}

/** @returns {Raced} */
export function raced() {
  const tests = ['schema', 'sync', 'fixtures', 'server', 'pwa'].flatMap((folder) =>
    readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
      .filter((path) => path.endsWith('_test.go'))
      .map((path) => `${folder}/${path.replaceAll('\\', '/')}`),
  );
  return racedOf(Object.fromEntries(tests.sort().map((path) => [path, readFileSync(join(root, path), 'utf8')])));
}
