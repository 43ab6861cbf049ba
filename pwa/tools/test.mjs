/**
 * `npm test`: every check of the repo, and at the end one line that sums them all. `npm test -- go vitest` runs only
 * the named ones. With CI=true a check that lacks its tool fails; elsewhere it is left out, loudly.
 */
import { spawn, spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { countGo, countVitest } from './counts.mjs';
import { measure } from './sizes.mjs';
import { buildSteps, command, root, runSteps } from './steps.mjs';

/** @typedef {import('./counts.mjs').Counts} Counts */

const ci = process.env['CI'] === 'true';
const reports = join(root, 'test-output');

/** @type {Record<string, () => Promise<Counts>>} */
const checks = {
  gofmt: async () => one(tool('gofmt', ['-l', 'schema', 'sync', 'server', 'pwa/embed.go']), 'run: npm run format'),
  generated: generatedIsFresh,
  vet: async () => one(tool('go', ['vet', './...'])),
  go: () => goTest(['./schema/...', './sync/...', './pwa']),
  race: raceTest,
  simulate: simulateTest,
  tsc: async () => one(tool('node', ['node_modules/typescript/bin/tsc'])),
  oxlint: async () => one(tool('node', ['node_modules/oxlint/bin/oxlint', '--deny-warnings'])),
  prettier: async () =>
    one(
      tool('node', ['node_modules/prettier/bin/prettier.cjs', '--check', '--log-level=warn', '.']),
      'run: npm run format',
    ),
  vitest: () => vitest('vitest.config.ts'),
  build: async () => {
    await runSteps(buildSteps);
    return { passed: 1, failed: 0, notes: [] };
  },
  sizes: async () => measure(join(root, 'pwa', 'dist')),
  browser: browserTest,
};

const asked = process.argv.slice(2);
const unknown = asked.filter((name) => !(name in checks));
if (unknown.length > 0) {
  process.stderr.write(`no check is called ${unknown.join(', ')}; there are: ${Object.keys(checks).join(', ')}\n`);
  process.exit(2);
}
mkdirSync(reports, { recursive: true });

let passed = 0;
let failed = 0;
for (const name of asked.length > 0 ? asked : Object.keys(checks)) {
  process.stdout.write(`== ${name}\n`);
  const counts = await run(name);
  for (const note of counts.notes) process.stdout.write(`${note.trimEnd()}\n`);
  process.stdout.write(`   ${counts.passed} passed, ${counts.failed} failed\n`);
  passed += counts.passed;
  failed += counts.failed;
}
process.stdout.write(`${passed} passed, ${failed} failed\n`);
process.exitCode = failed > 0 ? 1 : 0;

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
 * @param {string} name
 * @param {string[]} args
 */
function tool(name, args) {
  const { status, stdout, stderr, error } = spawnSync(name, args, { cwd: root, encoding: 'utf8', maxBuffer: 1 << 28 });
  if (error) throw error;
  const output = stdout + stderr;
  // gofmt -l names what it would change, and still ends with 0.
  return { code: name === 'gofmt' && output !== '' ? 1 : status, output };
}

/**
 * Generates again and compares: the committed result of `npm run generate` must be what it makes today. The files are
 * those that .gitattributes marks as generated.
 * @returns {Promise<Counts>}
 */
async function generatedIsFresh() {
  const before = generatedFiles();
  await command('npm', ['run', '--silent', 'generate']);
  const after = generatedFiles();
  const stale = [...after].filter(([file, hash]) => before.get(file) !== hash).map(([file]) => file);
  if (after.size === 0) throw new Error('no generated file was found; see .gitattributes');
  if (stale.length === 0) return { passed: 1, failed: 0, notes: [] };
  const note = `out of date until now: ${stale.join(', ')}\n"npm run generate" has rewritten them; commit them`;
  return { passed: 0, failed: 1, notes: [note] };
}

/** @returns {Map<string, string>} hash by path */
function generatedFiles() {
  const { output } = tool('git', [
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
  const child = spawn('go', ['test', '-json', ...args], { cwd: root, stdio: ['ignore', 'pipe', 'inherit'] });
  child.stdout.setEncoding('utf8');
  let lines = '';
  for await (const text of child.stdout) lines += text;
  const code = child.exitCode ?? (await new Promise((done) => child.on('exit', done)));
  return orCrash(countGo(lines), code, 'go test');
}

/**
 * Only the server has goroutines. The race detector needs a C compiler, which a grower's machine need not have.
 * @returns {Promise<Counts>}
 */
async function raceTest() {
  if (tool('go', ['env', 'CGO_ENABLED']).output.trim() === '1') return goTest(['-race', './server/...']);
  if (ci) throw new Error('the race detector needs a C compiler: apt-get install gcc libc6-dev');
  const counts = await goTest(['./server/...']);
  return { ...counts, notes: ['NO C COMPILER: the server was tested without the race detector', ...counts.notes] };
}

/**
 * The simulated days and the planted faults, without the race detector, under which most of them are left out. What was
 * injected, checked and caught is printed: a number that nobody sees proves nothing.
 * @returns {Promise<Counts>}
 */
async function simulateTest() {
  const { code, output } = tool('go', ['test', '-json', '-count=1', '-v', './server/simrun']);
  const told = output
    .split('\n')
    .filter((line) => line.startsWith('{'))
    .map((line) => /** @type {{Test?: string, Output?: string}} */ (JSON.parse(line)))
    .filter(({ Test, Output }) => Test?.startsWith('TestNothing') || Output?.includes('caught on day'))
    .map(({ Test, Output = '' }) =>
      Output.includes('caught on day') ? `${Test?.split('/')[1]}: ${Output.trim()}\n` : Output,
    )
    .filter((text) => !/^(===|---)/.test(text.trim()));
  const counts = orCrash(countGo(output), code, 'go test ./server/simrun');
  return { ...counts, notes: [told.join(''), ...counts.notes] };
}

/**
 * @param {string} config
 * @returns {Promise<Counts>}
 */
async function vitest(config) {
  const report = join(reports, `${config}.json`);
  rmSync(report, { force: true });
  const args = ['run', '--config', config, '--reporter=dot', '--reporter=json', `--outputFile.json=${report}`];
  const child = spawn('node', ['node_modules/vitest/vitest.mjs', ...args], { cwd: root, stdio: 'inherit' });
  const code = await new Promise((done) => child.on('exit', done));
  if (!existsSync(report)) throw new Error(`vitest ended with ${code} and left no report`);
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
  const chromium = process.env['CHROMIUM'] ?? '/usr/bin/chromium';
  if (existsSync(chromium)) return vitest('vitest.e2e.config.ts');
  const missing = `no Chromium at ${chromium}: install it, or name yours with CHROMIUM=/path/to/chromium`;
  if (ci) throw new Error(missing);
  return { passed: 0, failed: 0, notes: [`BROWSER TESTS SKIPPED: ${missing}`] };
}
