/**
 * Reads what each test runner reports and says how many tests passed and failed. A runner that dies, or whose tests
 * are gone, counts as one failure: silence is never a pass.
 */

/** @typedef {{passed: number, failed: number, notes: string[]}} Counts */

/**
 * Counts the stream of `go test -json`. A test with subtests stands for them and is not counted beside them; a
 * package that fails without a failing test (it does not build, it panics) is one failure.
 * @param {string} lines
 * @returns {Counts}
 */
export function countGo(lines) {
  /** @type {Map<string, {action: string, output: string}>} */
  const tests = new Map();
  /** @type {Map<string, string>} */
  const outputOf = new Map();
  /** @type {string[]} */
  const failedPackages = [];
  for (const line of lines.split('\n')) {
    if (!line.startsWith('{')) continue;
    const event = JSON.parse(line);
    const name = `${event.Package ?? event.ImportPath}${event.Test ? ` ${event.Test}` : ''}`;
    if (event.Output) outputOf.set(name, (outputOf.get(name) ?? '') + event.Output);
    if (!['pass', 'fail', 'skip'].includes(event.Action)) continue;
    if (event.Test) tests.set(name, { action: event.Action, output: outputOf.get(name) ?? '' });
    else if (event.Action === 'fail') failedPackages.push(event.Package);
  }

  const names = [...tests.keys()];
  const parents = new Set(names.flatMap((name) => ancestors(name)));
  const failing = names.filter((name) => tests.get(name)?.action === 'fail');
  // A parent may also fail by itself, after all of its subtests passed.
  const failures = failing.filter((name) => !failing.some((other) => ancestors(other).includes(name)));
  const broken = failedPackages.filter((name) => !failures.some((test) => test.startsWith(`${name} `)));
  const skipped = names.filter((name) => tests.get(name)?.action === 'skip');

  return atLeastOne({
    passed: names.filter((name) => tests.get(name)?.action === 'pass' && !parents.has(name)).length,
    failed: failures.length + broken.length,
    notes: [
      ...failures.map((name) => `FAILED ${name}\n${tests.get(name)?.output}`),
      ...broken.map((name) => `FAILED ${name}\n${packageOutput(name, outputOf)}`),
      ...skipped.map((name) => `SKIPPED ${name}`),
    ],
  });
}

/**
 * Counts Vitest's JSON report; a file that fails to load has no tests and is one failure.
 * @param {string} report
 * @returns {Counts}
 */
export function countVitest(report) {
  /** @type {{testResults: {name: string, status: string, message: string, assertionResults: {status: string, fullName: string, failureMessages?: string[]}[]}[]}} */
  const { testResults } = JSON.parse(report);
  const tests = testResults.flatMap((file) => file.assertionResults);
  const failures = tests.filter((test) => test.status === 'failed');
  const broken = testResults.filter(
    (file) => file.status === 'failed' && !file.assertionResults.some((test) => test.status === 'failed'),
  );
  return atLeastOne({
    passed: tests.filter((test) => test.status === 'passed').length,
    failed: failures.length + broken.length,
    notes: [
      ...failures.map((test) => [`FAILED ${test.fullName}`, ...(test.failureMessages ?? [])].join('\n')),
      ...broken.map((file) => `FAILED ${file.name}\n${file.message}`),
      ...tests
        .filter(({ status }) => status !== 'passed' && status !== 'failed')
        .map((test) => `SKIPPED ${test.fullName}`),
    ],
  });
}

/** @param {Counts} counts */
function atLeastOne(counts) {
  if (counts.passed + counts.failed > 0) return counts;
  return { passed: 0, failed: 1, notes: [...counts.notes, 'FAILED no test ran at all'] };
}

/** @param {string} name "package Test/sub/sub" */
function ancestors(name) {
  const start = name.indexOf(' ');
  const parts = name.slice(start + 1).split('/');
  return parts.slice(1).map((_, index) => `${name.slice(0, start)} ${parts.slice(0, index + 1).join('/')}`);
}

/**
 * A package that does not build writes under its import path, "p" or "p [p.test]".
 * @param {string} name
 * @param {Map<string, string>} outputOf
 */
function packageOutput(name, outputOf) {
  return [...outputOf]
    .filter(([from]) => from === name || from.startsWith(`${name} [`) || from.startsWith(`${name} `))
    .map(([, output]) => output)
    .join('');
}
