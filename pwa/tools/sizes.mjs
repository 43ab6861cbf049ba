/**
 * What the phone has to load, against the budgets that the screens were designed to. Only static imports count for the
 * first screen; that it fetches nothing more while it opens is seen by pwa/e2e/first-load.e2e.ts.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';

/**
 * @param {string} dist the built app
 * @returns {import('./counts.mjs').Counts}
 */
export function measure(dist) {
  const all = sizes(dist);
  return {
    passed: all.filter(({ over }) => !over).length,
    failed: all.filter(({ over }) => over).length,
    notes: all.map(
      ({ what, bytes, kilobytes, over }) =>
        `${over ? 'FAILED ' : ''}${what}: ${(bytes / 1000).toFixed(1)} of ${kilobytes} KB gzipped`,
    ),
  };
}

/**
 * What is loaded, in bytes gzipped, and the budget of each. Nothing at all is over too: then there was nothing to weigh.
 * @param {string} dist the built app
 */
export function sizes(dist) {
  const { scripts, styles } = firstScreen(dist);
  /** @type {{precache: string[]}} */
  const { precache } = JSON.parse(readFileSync(join(dist, 'build.json'), 'utf8'));
  const budgets = [
    { what: "script of the scout's first screen", files: scripts, kilobytes: 60 },
    { what: 'styles of the first screen', files: styles, kilobytes: 8 },
    { what: 'everything precached', files: precache, kilobytes: 700 },
  ];
  return budgets.map(({ what, files, kilobytes }) => {
    const bytes = files.reduce((sum, file) => sum + gzipSync(readFileSync(join(dist, file)), { level: 9 }).length, 0);
    return { what, bytes, kilobytes, over: bytes === 0 || bytes > kilobytes * 1000 };
  });
}

/**
 * The files that the start page asks for, and what those import in turn.
 * @param {string} dist
 */
export function firstScreen(dist) {
  /** @type {Record<string, {file: string, imports?: string[], css?: string[]}>} */
  const manifest = JSON.parse(readFileSync(join(dist, '.vite', 'manifest.json'), 'utf8'));
  const keys = new Set(['index.html']);
  // A set hands out what is added to it while it is walked.
  for (const key of keys) for (const next of manifest[key]?.imports ?? []) keys.add(next);
  const chunks = [...keys].flatMap((key) => manifest[key] ?? []);
  // The sync worker is no import of the page, but the page starts it at once.
  /** @type {{precache: string[]}} */
  const { precache } = JSON.parse(readFileSync(join(dist, 'build.json'), 'utf8'));
  const workers = new Set(precache.filter((file) => /\/sync\.worker-[^/]+\.js$/.test(file)));
  for (const file of workers) for (const next of staticImports(dist, file)) workers.add(next);
  return {
    scripts: [...new Set([...chunks.map(({ file }) => file), ...workers])],
    styles: chunks.flatMap(({ css }) => css ?? []),
  };
}

/**
 * The files that a script imports before it runs. The manifest does not name those of workers; a built script has its imports at its
 * head, each in one line of its own kind.
 * @param {string} dist
 * @param {string} file
 */
function staticImports(dist, file) {
  const text = readFileSync(join(dist, file), 'utf8');
  return [
    ...text.matchAll(/(?:^|[;}\n])\s*(?:import|export)\s*(?:[\w$*{][^"'();]*?\bfrom\s*)?["']\.\/([^"']+\.js)["']/g),
  ].map(([, name = '']) => `${file.slice(0, file.lastIndexOf('/') + 1)}${name}`);
}
