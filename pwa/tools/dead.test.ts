import { expect, test } from 'vitest';
import { judge } from './dead.mjs';

const found = [
  { Path: 'bedwalk/a', Funcs: [{ Name: 'Used', Position: { File: 'a/a.go', Line: 3 } }] },
  { Path: 'bedwalk/b', Funcs: [{ Name: 'T.Lost', Position: { File: 'b/b.go', Line: 9 } }] },
];

test('a function that nothing reaches is named with its line, unless it is an exception', () => {
  const counts = judge(found, { 'bedwalk/a.Used': 'a reason' });
  expect(counts.failed).toBe(1);
  expect(counts.notes).toEqual(['b/b.go:9: nothing reaches bedwalk/b.T.Lost']);
});

test('an exception that is reached by now is named, so that the list stays short', () => {
  const both = { 'bedwalk/a.Used': 'a reason', 'bedwalk/b.T.Lost': 'a reason' };
  expect(judge(found, both)).toEqual({ passed: 1, failed: 0, notes: [] });
  expect(judge(null, both).notes[0]).toContain('bedwalk/a.Used is reached or gone');
});
