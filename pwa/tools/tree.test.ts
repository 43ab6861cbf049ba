import { expect, test } from 'vitest';
import { filesOf, textOf } from './tree.ts';

const generated = new Set(filesOf(':(attr:linguist-generated)'));
const sources = filesOf('*.go', '*.ts', '*.tsx', '*.mjs', '*.css').filter((file) => !generated.has(file));

test('only what belongs there stands at the top of the repo', () => {
  const belongs = new RegExp(
    `^(${[
      'server|sync|pwa|schema|fixtures',
      'README\\.md|DEVELOPERS\\.md|CHANGELOG\\.md|SECURITY\\.md|LICENSE',
      'go\\.mod|go\\.sum|package\\.json|package-lock\\.json',
      'tsconfig.*\\.json|.*\\.config\\.(ts|js|mjs)|\\..*',
    ].join('|')})$`,
  );
  const top = new Set(filesOf('.').map((file) => file.split('/')[0] ?? ''));
  expect([...top].filter((name) => !belongs.test(name))).toEqual([]);
});

test('no file has grown past 400 lines', () => {
  const long = sources.filter((file) => textOf(file).split('\n').length > 401);
  expect(long).toEqual([]);
});

test.each([
  ['a promise to finish later', /\b(TO[D]O|FIX[M]E|X{3})\b/],
  ['a trace of debugging', /\bconsole[.]log\(|\bdebugger\b;/],
  ['a test that silences the others', /[.]only[(]/],
  ['a test that is left out', /\b(test|it|describe)[.]skip\b|\b[tb][.]Skip(f|Now)?[(]/],
])('nothing in the sources is %s', (_, mark) => {
  const found = sources.flatMap((file) =>
    textOf(file)
      .split('\n')
      .flatMap((line, index) => (mark.test(line) ? [`${file}:${index + 1} ${line.trim()}`] : [])),
  );
  expect(found).toEqual([]);
});
