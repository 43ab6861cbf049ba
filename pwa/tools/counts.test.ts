import { expect, test } from 'vitest';
import { countGo, countVitest } from './counts.mjs';

const go = (...events: object[]) => countGo(events.map((event) => JSON.stringify(event)).join('\n'));

test('a Go test with subtests is counted by its subtests', () => {
  const counts = go(
    { Action: 'pass', Package: 'p', Test: 'TestA/small/deep' },
    { Action: 'pass', Package: 'p', Test: 'TestA/small' },
    { Action: 'pass', Package: 'p', Test: 'TestA/large' },
    { Action: 'pass', Package: 'p', Test: 'TestA' },
    { Action: 'pass', Package: 'p' },
  );
  expect(counts).toMatchObject({ passed: 2, failed: 0 });
});

test('a failed subtest is one failure with its output, not one more for each parent and package', () => {
  const counts = go(
    { Action: 'output', Package: 'p', Test: 'TestA/large', Output: 'too wide' },
    { Action: 'fail', Package: 'p', Test: 'TestA/large' },
    { Action: 'pass', Package: 'p', Test: 'TestA/small' },
    { Action: 'fail', Package: 'p', Test: 'TestA' },
    { Action: 'fail', Package: 'p' },
  );
  expect(counts).toMatchObject({ passed: 1, failed: 1 });
  expect(counts.notes.join()).toContain('too wide');
});

test('a Go test that fails after its subtests passed is a failure', () => {
  const counts = go(
    { Action: 'pass', Package: 'p', Test: 'TestA/small' },
    { Action: 'fail', Package: 'p', Test: 'TestA' },
    { Action: 'fail', Package: 'p' },
  );
  expect(counts).toMatchObject({ passed: 1, failed: 1 });
});

test('a package that does not build is one failure and shows the compiler’s words', () => {
  const counts = go(
    { Action: 'build-output', ImportPath: 'p [p.test]', Output: 'declared and not used: x' },
    { Action: 'fail', Package: 'p', FailedBuild: 'p [p.test]' },
  );
  expect(counts).toMatchObject({ passed: 0, failed: 1 });
  expect(counts.notes.join()).toContain('declared and not used');
});

test('a package that dies in the middle of a test is one failure and shows the panic', () => {
  const counts = go(
    { Action: 'run', Package: 'p', Test: 'TestA' },
    { Action: 'output', Package: 'p', Test: 'TestA', Output: 'panic: dead' },
    { Action: 'fail', Package: 'p' },
  );
  expect(counts).toMatchObject({ passed: 0, failed: 1 });
  expect(counts.notes.join()).toContain('panic: dead');
});

test('a runner without a single test has failed', () => {
  expect(go({ Action: 'skip', Package: 'p' })).toMatchObject({ passed: 0, failed: 1 });
  expect(countVitest('{"testResults":[]}')).toMatchObject({ passed: 0, failed: 1 });
});

test('a test file that does not load is one failure beside the tests of the others', () => {
  const report = {
    testResults: [
      { name: 'a.test.ts', status: 'failed', message: 'cannot find module', assertionResults: [] },
      {
        name: 'b.test.ts',
        status: 'failed',
        message: '',
        assertionResults: [{ status: 'passed' }, { status: 'failed' }],
      },
    ],
  };
  const counts = countVitest(JSON.stringify(report));
  expect(counts).toMatchObject({ passed: 1, failed: 2 });
  expect(counts.notes.join()).toContain('cannot find module');
});

test('a browser test that was left out for want of a tool is named', () => {
  const assertionResults = [{ status: 'passed' }, { status: 'skipped', fullName: 'lets a phone that trusts it pair' }];
  const counts = countVitest(
    JSON.stringify({ testResults: [{ name: 'a', status: 'passed', message: '', assertionResults }] }),
  );
  expect(counts).toEqual({ passed: 1, failed: 0, notes: ['SKIPPED lets a phone that trusts it pair'] });
});
