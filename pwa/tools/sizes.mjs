/**
 * What the phone has to load, against the budgets that the screens were designed to. Only static imports count for the
 * first screen here; that the first screen pulls in nothing more while it opens is for a browser test to see.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';

/**
 * @param {string} dist the built app
 * @returns {import('./counts.mjs').Counts}
 */
export function measure(dist) {
  /** @type {Record<string, {file: string, imports?: string[], css?: string[]}>} */
  const manifest = JSON.parse(readFileSync(join(dist, '.vite', 'manifest.json'), 'utf8'));
  const first = withImports('index.html').map((key) => /** @type {{file: string, css?: string[]}} */ (manifest[key]));
  /** @type {{precache: string[]}} */
  const { precache } = JSON.parse(readFileSync(join(dist, 'build.json'), 'utf8'));

  const budgets = [
    { what: "script of the scout's first screen", files: first.map(({ file }) => file), kilobytes: 60 },
    { what: 'styles of the first screen', files: first.flatMap(({ css }) => css ?? []), kilobytes: 8 },
    { what: 'everything precached', files: precache, kilobytes: 700 },
  ];
  const lines = budgets.map(({ what, files, kilobytes }) => {
    const size = files.reduce((sum, file) => sum + gzipSync(readFileSync(join(dist, file)), { level: 9 }).length, 0);
    const over = size === 0 || size > kilobytes * 1000;
    return { over, note: `${over ? 'FAILED ' : ''}${what}: ${(size / 1000).toFixed(1)} of ${kilobytes} KB gzipped` };
  });
  return {
    passed: lines.filter(({ over }) => !over).length,
    failed: lines.filter(({ over }) => over).length,
    notes: lines.map(({ note }) => note),
  };

  /**
   * @param {string} key
   * @param {Set<string>} seen
   */
  function withImports(key, seen = new Set()) {
    if (seen.has(key)) return [...seen];
    seen.add(key);
    for (const next of manifest[key]?.imports ?? []) withImports(next, seen);
    return [...seen];
  }
}
