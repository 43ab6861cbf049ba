/** The TypeScript half of the house's arrows; the Go half is sync/arrows_test.go. */
import { posix } from 'node:path';
import { expect, test } from 'vitest';
import { filesOf, textOf } from './tree.ts';

const sources = filesOf('*.ts', '*.tsx').filter((file) => !file.startsWith('pwa/tools/') && file.includes('/'));
const isTest = (file: string) => /(\.(test|bench|e2e)|[./]testing)\.tsx?$/.test(file) || file.startsWith('pwa/e2e/');

/** Every import of every file: relative ones as paths from the root, packages as they are named. */
const imports = sources.flatMap((file) =>
  [...textOf(file).matchAll(/^\s*(?:import|export)\b[^'";]*?from\s*'([^']+)'|\bimport\(?\s*'([^']+)'/gm)].map(
    (match) => {
      const name = match[1] ?? match[2] ?? '';
      return { file, to: name.startsWith('.') ? posix.join(posix.dirname(file), name) : name };
    },
  ),
);

const under = (folder: string) => (path: string) => path.startsWith(folder);
const isPackage = (path: string) => !/^(schema|sync|pwa|fixtures|server)\//.test(path);

function forbidden(from: (file: string) => boolean, to: (path: string) => boolean) {
  return imports.filter((arrow) => from(arrow.file) && to(arrow.to)).map(({ file, to: path }) => `${file} -> ${path}`);
}

test('imports were found, or the rules below judge nothing', () => {
  expect(imports.length).toBeGreaterThan(0);
});

test('schema imports only schema: it says what may be written down, not how it is used', () => {
  expect(forbidden(under('schema/'), (to) => /^(sync|pwa|server)\//.test(to))).toEqual([]);
});

test('sync imports nothing of the phone: it must come out the same on every device', () => {
  expect(forbidden(under('sync/'), (to) => /^(pwa|server)\//.test(to))).toEqual([]);
});

test('sync uses one package from outside, the hash, and its tests the test tools', () => {
  const allowed = (to: string) => to.startsWith('@noble/hashes/');
  expect(
    forbidden(
      (file) => under('sync/')(file) && !isTest(file),
      (to) => isPackage(to) && !allowed(to),
    ),
  ).toEqual([]);
});

/** What an import leads to, without the end that a file name has and an import has not. */
const isPart = (path: string, ...parts: string[]) =>
  parts.some((part) => path.startsWith(`pwa/src/${part}/`) || path.replace(/\.tsx?$/, '') === `pwa/src/${part}`);

test('the journal knows no screen and nothing of what the app shows: screens come and go, notes stay', () => {
  const shown = (to: string) => isPart(to, 'screens', 'parts', 'forms', 'views', 'words', 'state', 'router', 'app');
  expect(forbidden(under('pwa/src/journal/'), shown)).toEqual([]);
});

test('the store is the ground of the journal: what is sent, read or recovered rests on it', () => {
  const others = (to: string) => isPart(to, 'journal') && !isPart(to, 'journal/store');
  const from = (file: string) => under('pwa/src/journal/store/')(file) && !isTest(file);
  expect(forbidden(from, others)).toEqual([]);
});

test('what screens share (forms, parts, views, words) knows no screen', () => {
  const shared = (file: string) => isPart(file, 'forms', 'parts', 'views', 'words') && !isTest(file);
  expect(forbidden(shared, (to) => isPart(to, 'screens'))).toEqual([]);
});

// What two groups need lies in forms, parts, views or words. The one arrow: pairing fetches the tag reader while the
// phone is surely in range.
test.each([
  ['supervisor', ['scout', 'work'], []],
  ['work', ['scout', 'supervisor'], []],
  ['scout', ['work', 'supervisor'], ['pwa/src/screens/scout/pairing/Pair.tsx -> pwa/src/screens/work/scan/warm']],
])('the screens of %s stand without those of %j', (group, others, arrows) => {
  const from = (file: string) => isPart(file, `screens/${group}`) && !isTest(file);
  expect(sources.some(from)).toBe(true);
  expect(forbidden(from, (to) => isPart(to, ...others.map((other) => `screens/${other}`)))).toEqual(arrows);
});

test('what helps the tests (testing.ts, x.testing.ts) is used only by tests', () => {
  expect(
    forbidden(
      (file) => !isTest(file),
      (to) => /[./]testing(\.ts)?$/.test(to),
    ),
  ).toEqual([]);
});

test('the app uses nothing of Node', () => {
  expect(forbidden((file) => under('pwa/src/')(file) && !isTest(file), under('node:'))).toEqual([]);
});

test('sync reads no clock, draws no chance and touches no device', () => {
  const impure =
    /\bDate\.now\b|\bnew Date\(\)|\bMath\.random\b|\bperformance\.|\b(indexedDB|localStorage|fetch|setTimeout)\(/;
  const pure = sources.filter((file) => file.startsWith('sync/') && !isTest(file));
  expect(pure.filter((file) => impure.test(textOf(file)))).toEqual([]);
});

test('the server is asked in one place, with its limit to the waiting: only wire.ts, the service worker and the fetching of the scanner', () => {
  const asks = sources.filter(
    (file) => under('pwa/src/')(file) && !isTest(file) && /(?<![.\w])fetch\([^)]/.test(textOf(file)),
  );
  expect(asks.sort()).toEqual(['pwa/src/journal/wire.ts', 'pwa/src/screens/work/scan/warm.ts', 'pwa/src/sw/sw.ts']);
});

test('the journal draws nothing, and its worker carries no script that draws: its signals are those of @preact/signals-core', () => {
  const draws = (to: string) => to === '@preact/signals' || /^preact(\/|$)/.test(to);
  const hooks = 'pwa/src/journal/records/read.ts';
  expect(forbidden((file) => under('pwa/src/journal/')(file) && !isTest(file) && file !== hooks, draws)).toEqual([]);
});
