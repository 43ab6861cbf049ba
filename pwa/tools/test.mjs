/**
 * `npm test`: every check of the repo, and at the end one line that sums them all. `npm test -- go vitest` runs only
 * the named ones, and `npm test -- simulate --days=100` simulates so many days. Three lanes run side by side, since each waits
 * at times for something (a disk, a database, one last file); on two cores that takes a few seconds in a hundred less than two lanes did.
 * With CI=true a check that lacks its tool fails; elsewhere it is skipped. The first line says what is missing either way.
 */
import { spawn, spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { countGo, countVitest } from './counts.mjs';
import { deadcode, knip } from './dead.mjs';
import { raced } from './raced.mjs';
import { measure } from './sizes.mjs';
import { bedwalk, buildSteps, chromium, generate, packages, root, runSteps } from './steps.mjs';

/** @typedef {import('./counts.mjs').Counts} Counts */

const ci = process.env['CI'] === 'true';
const reports = join(root, 'test-output');

/** @type {Record<string, () => Promise<Counts>>} */
const checks = {
  generated: generatedIsFresh,
  build: async () => {
    await runSteps(buildSteps);
    return { passed: 1, failed: 0, notes: [] };
  },
  gofmt: async () =>
    one(await tool('gofmt', ['-l', 'schema', 'sync', 'server', 'fixtures', 'pwa/embed.go']), 'run: npm run format'),
  vet: async () => one(await tool('go', ['vet', './...'], lessCollecting)),
  deadcode: () => deadcode((name, args) => tool(name, args, collectingOnce)),
  go: sequentialTest,
  race: raceTest,
  simulate: simulateTest,
  tsc: async () => one(await tool('node', ['node_modules/typescript/bin/tsc'], lessCollecting)),
  oxlint: async () => one(await tool('node', ['node_modules/oxlint/bin/oxlint', '--deny-warnings'])),
  knip: () => knip(tool),
  oxfmt: async () => one(await tool('node', ['node_modules/oxfmt/bin/oxfmt', '--check']), 'run: npm run format'),
  vitest: () => vitest('vitest.config.ts'),
  sizes: async () => measure(join(root, 'pwa', 'dist')),
  browser: browserTest,
};

/** For what has stopped. Go's own ten minutes a package would let a slow machine decide. */
const patience = '-timeout=60m';

/** Without what only a debugger reads, each of some thirty test programs is linked in a quarter less time. Traces keep their lines. */
const bare = '-ldflags=-s -w';

/**
 * Go's tests hold little for long, and its tools (TypeScript's compiler is one) end soon, so that collecting garbage a quarter as often
 * costs memory that is there and saves processor time. The tests run with -vet=off, since vet is a check of its own here.
 */
const lessCollecting = { GOGC: '400' };

/**
 * SQLite itself, which is C made into Go, is not watched: its memory is none of Go's, and watched it takes half of the race check's
 * processor time. What locks it (modernc.org/libc) is watched, so that whoever waits for it is still seen to have waited.
 */
const withoutSQLite = '-gcflags=modernc.org/sqlite/lib=-race=false';

/** For deadcode, which holds the whole program: less processor time than above (37 of 43 s) and less memory at its most (2.5 of 3.1 GB). */
const collectingOnce = { GOGC: 'off', GOMEMLIMIT: '2500MiB' };

/** What is generated is read by all others, the built app and server by some. */
const first = ['generated'];
const lanes = [
  ['build', 'sizes', 'browser'],
  ['tsc', 'oxlint', 'knip', 'oxfmt', 'vitest', 'simulate'],
  ['gofmt', 'vet', 'deadcode', 'race', 'go'],
];

/** Which check waits for which, wherever that one stands. */
const after = new Map([
  ['vet', 'build'],
  ['go', 'build'],
]);

/** How many days are simulated, where it is said. */
const days = /^--days=([1-9]\d*)$/;
const said = process.argv.slice(2);
const number = said.map((word) => days.exec(word)?.[1]).find((text) => text !== undefined);
// server/simrun/simrun_test.go reads it; what is in the environment holds where nothing is said here.
if (number !== undefined) process.env['BEDWALK_SEEDS'] = number;
const asked = said.filter((word) => !days.test(word));
const unknown = asked.filter((name) => !(name in checks));
if (unknown.length > 0) {
  process.stderr.write(
    `no check is called ${unknown.join(', ')}; there are: ${Object.keys(checks).join(', ')}, and --days=N for the simulated days\n`,
  );
  process.exit(2);
}
mkdirSync(reports, { recursive: true });
const missing = missingTools();
process.stdout.write(missing.length > 0 ? `missing on this machine: ${missing.join('; ')}\n` : 'no tool is missing\n');

let passed = 0;
let failed = 0;
/** @type {Map<string, Promise<void>>} checks that have begun */
const begun = new Map();
if (!packages.fresh()) await packages.run();
await lane(first);
await Promise.all(lanes.map(lane));
process.stdout.write(`${passed} passed, ${failed} failed\n`);
process.exitCode = failed > 0 ? 1 : 0;

/**
 * What some checks need and this machine lacks, each with the command that brings it on Debian.
 * @returns {string[]}
 */
function missingTools() {
  const missing = [];
  if (!existsSync(chromium)) {
    missing.push(
      `a browser at ${chromium} (apt-get install chromium-headless-shell, or name yours with CHROMIUM=/path/to/it)`,
    );
  }
  if (process.platform === 'linux' && spawnSync('certutil', ['-H']).error) {
    missing.push('certutil (apt-get install libnss3-tools)');
  }
  if (!hasPostgres()) {
    missing.push(
      'PostgreSQL (apt-get install postgresql; it starts no database of its own with create_main_cluster=false in /etc/postgresql-common/createcluster.conf)',
    );
  }
  if (!hasCompiler()) missing.push('a C compiler for the race detector (apt-get install gcc libc6-dev)');
  return missing;
}

/** @param {string[]} names */
async function lane(names) {
  for (const name of names) {
    if (asked.length > 0 && !asked.includes(name)) continue;
    await begun.get(after.get(name) ?? '');
    const check = runAndReport(name);
    begun.set(name, check);
    await check;
  }
}

/**
 * Runs a check, and says what came of it.
 * @param {string} name
 */
async function runAndReport(name) {
  process.stdout.write(`.. ${name}\n`);
  const began = performance.now();
  const counts = await run(name);
  const notes = counts.notes.map((note) => `${note.trimEnd()}\n`).join('');
  const seconds = Math.round((performance.now() - began) / 1000);
  // In one write, so that the other lane's lines do not come between.
  process.stdout.write(`== ${name}\n${notes}   ${counts.passed} passed, ${counts.failed} failed in ${seconds} s\n`);
  passed += counts.passed;
  failed += counts.failed;
}

/**
 * @param {string} name
 * @returns {Promise<Counts>}
 */
async function run(name) {
  try {
    return await /** @type {() => Promise<Counts>} */ (checks[name])();
  } catch (error) {
    return { passed: 0, failed: 1, notes: [`FAILED ${name}: ${error instanceof Error ? error.message : error}`] };
  }
}

/**
 * A tool that says nothing and ends with 0 has found nothing.
 * @param {{code: number | null, output: string}} result
 * @param {string} remedy
 * @returns {Counts}
 */
function one({ code, output }, remedy = '') {
  if (code === 0) return { passed: 1, failed: 0, notes: [] };
  return { passed: 0, failed: 1, notes: [output, remedy].filter((note) => note !== '') };
}

/**
 * Runs a program to its end; its output is kept, not shown.
 * @param {string} name
 * @param {string[]} args
 * @param {Record<string, string>} env what it finds in its environment besides
 * @returns {Promise<{code: number | null, output: string}>}
 */
async function tool(name, args, env = {}) {
  const child = spawn(name, args, { cwd: root, stdio: ['ignore', 'pipe', 'pipe'], env: { ...process.env, ...env } });
  /** @type {Promise<number | null>} */
  const ended = new Promise((done, fail) => {
    child.on('error', fail);
    child.on('close', done);
  });
  // Kept apart, or a warning would fall into the middle of a line of JSON.
  const [out, err] = [child.stdout, child.stderr].map(async (stream) => {
    let whole = '';
    for await (const text of stream.setEncoding('utf8')) whole += text;
    return whole;
  });
  const code = await ended;
  const output = `${await out}${await err}`;
  // gofmt -l names what it would change, and still ends with 0.
  return { code: name === 'gofmt' && output !== '' ? 1 : code, output };
}

/**
 * Generates again and compares: the committed result of `npm run generate` must be what it makes today. The files are
 * those that .gitattributes marks as generated.
 * @returns {Promise<Counts>}
 */
async function generatedIsFresh() {
  const before = await generatedFiles();
  // As a step of the build, which then need not do it a second time.
  await generate.run();
  const after = await generatedFiles();
  const stale = [...after].filter(([file, hash]) => before.get(file) !== hash).map(([file]) => file);
  if (after.size === 0) throw new Error('no generated file was found; see .gitattributes');
  if (stale.length === 0) return { passed: 1, failed: 0, notes: [] };
  const note = `out of date until now: ${stale.join(', ')}\n"npm run generate" has rewritten them; commit them`;
  return { passed: 0, failed: 1, notes: [note] };
}

/** @returns {Promise<Map<string, string>>} hash by path */
async function generatedFiles() {
  const { output } = await tool('git', [
    'ls-files',
    '-z',
    '--cached',
    '--others',
    '--exclude-standard',
    ':(attr:linguist-generated)',
  ]);
  const files = output.split('\0').filter((file) => file !== '' && existsSync(join(root, file)));
  return new Map(
    files.map((file) => [
      file,
      createHash('sha256')
        .update(readFileSync(join(root, file)))
        .digest('hex'),
    ]),
  );
}

/**
 * @param {string[]} args packages, and flags before them
 * @returns {Promise<Counts>}
 */
async function goTest(args) {
  // The drills take the program that is built here anyway (server/realrun), in place of building it twice more.
  const built = begun.has('build') ? { BEDWALK_BINARY: bedwalk } : {};
  const env = { ...lessCollecting, ...built };
  const { code, output } = await tool('go', ['test', '-json', '-vet=off', bare, patience, ...args], env);
  return orCrash(countGo(output), code, 'go test');
}

/**
 * All Go tests but the simulated days, which are a check of their own, and those that run under the race detector.
 * @returns {Promise<Counts>}
 */
async function sequentialTest() {
  const { output } = await tool('go', ['list', './...']);
  const packages = output.split('\n').filter((name) => name !== '' && !name.endsWith('/server/simrun'));
  return goTest(['-skip', raced().names, ...packages]);
}

/**
 * The tests in which goroutines meet. The race detector needs a C compiler, which a grower's machine need not have.
 * @returns {Promise<Counts>}
 */
async function raceTest() {
  const { packages, names } = raced();
  const args = ['-run', names, ...packages];
  if (hasCompiler()) return goTest(['-race', withoutSQLite, ...args]);
  if (ci) throw new Error('the race detector needs a C compiler: apt-get install gcc libc6-dev');
  const counts = await goTest(args);
  return { ...counts, notes: ['NO C COMPILER: the server was tested without the race detector', ...counts.notes] };
}

/** Go's own answer: it looks for the compiler that cgo needs. */
function hasCompiler() {
  return spawnSync('go', ['env', 'CGO_ENABLED'], { encoding: 'utf8' }).stdout?.trim() === '1';
}

/** Debian keeps the programs of a database out of the path; server/testpg looks in the same places. */
function hasPostgres() {
  const debian = '/usr/lib/postgresql';
  const versions = existsSync(debian) ? readdirSync(debian) : [];
  return (
    versions.some((version) => existsSync(join(debian, version, 'bin', 'postgres'))) ||
    !spawnSync('postgres', ['--version']).error
  );
}

/**
 * The simulated days and the planted faults, without the race detector, under which most of them are left out. What was
 * injected, checked and caught is printed: a number that nobody sees proves nothing.
 * @returns {Promise<Counts>}
 */
async function simulateTest() {
  const { code, output } = await tool(
    'go',
    ['test', '-json', '-vet=off', patience, '-count=1', '-v', './server/simrun'],
    lessCollecting,
  );
  const lines = output
    .split('\n')
    .filter((line) => line.startsWith('{'))
    .map((line) => /** @type {{Test?: string, Output?: string}} */ (JSON.parse(line)))
    .filter(({ Test, Output }) => Test?.startsWith('TestNothing') || Output?.includes(': caught by '))
    .map(({ Output = '' }) => Output)
    .filter((text) => !/^(===|---)/.test(text.trim()));
  const counts = orCrash(countGo(output), code, 'go test ./server/simrun');
  return { ...counts, notes: [lines.join(''), ...counts.notes] };
}

/**
 * @param {string} config
 * @returns {Promise<Counts>}
 */
async function vitest(config) {
  const report = join(reports, `${config}.json`);
  rmSync(report, { force: true });
  const args = ['run', '--config', config, '--reporter=json', `--outputFile.json=${report}`];
  const { code, output } = await tool('node', ['node_modules/vitest/vitest.mjs', ...args]);
  if (!existsSync(report)) throw new Error(`vitest ended with ${code} and left no report\n${output}`);
  return orCrash(countVitest(readFileSync(report, 'utf8')), code, 'vitest');
}

/**
 * @param {Counts} counts
 * @param {number | null} code
 * @param {string} name
 */
function orCrash(counts, code, name) {
  if (code === 0 || counts.failed > 0) return counts;
  return { ...counts, failed: 1, notes: [...counts.notes, `FAILED ${name} ended with ${code}, though no test failed`] };
}

/** @returns {Promise<Counts>} */
async function browserTest() {
  if (existsSync(chromium)) return vitest('vitest.e2e.config.ts');
  if (ci) throw new Error(`no browser at ${chromium}`);
  return { passed: 0, failed: 0, notes: [`BROWSER TESTS SKIPPED: no browser at ${chromium}`] };
}
