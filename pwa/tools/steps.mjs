/**
 * The steps from a fresh clone to a runnable server, shared by start, dev, build and test. Each step is skipped when
 * nothing that it reads has changed since it last succeeded: its inputs' hash is kept in bin/.made/. Hashes and not
 * times, because a checkout gives old content a new time.
 */
import { spawn } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, readdirSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = resolve(dirname(fileURLToPath(import.meta.url)), '../..');
const windows = process.platform === 'win32';

/** The one program, as the last step builds it. */
export const bedwalk = join(root, 'bin', windows ? 'bedwalk.exe' : 'bedwalk');

/**
 * The browser of the tests: the one that is named, else Chromium without its windows (the same engine at half the work), else
 * the whole of it.
 */
export const chromium =
  process.env['CHROMIUM'] ??
  ['/usr/bin/chromium-headless-shell', '/usr/bin/chromium'].find((path) => existsSync(path)) ??
  '/usr/bin/chromium-headless-shell';

/**
 * @typedef {object} Step
 * @property {string} title what the person waiting reads
 * @property {() => boolean} fresh whether it can be skipped
 * @property {() => Promise<void>} run
 */

/** @type {Step} */
export const packages = {
  title: 'install the npm packages',
  fresh: packagesAreInstalled,
  run: () => command('npm', ['ci', '--no-audit', '--no-fund', '--loglevel=error']),
};

/** @type {Step} */
export const generate = step('generate schema, types and tables', ['go.mod', 'schema', 'sync'], 'schema', () =>
  command('go', ['generate', './...']),
);

/** @type {Step} */
const app = step(
  'build the phone app',
  [
    'package-lock.json',
    'vite.config.ts',
    'tsconfig.json',
    'pwa/index.html',
    'pwa/public',
    'pwa/src',
    'pwa/tools',
    'sync',
    'schema',
  ],
  'pwa/dist/index.html',
  () => command('node', ['node_modules/vite/bin/vite.js', 'build', '--logLevel', 'warn']),
);

/**
 * Go keeps its own record of what is stale, embedded files included, so this step always asks it.
 * @type {Step}
 */
const server = {
  title: existsSync(bedwalk) ? 'build the server' : 'build the server (about two minutes the first time)',
  fresh: () => false,
  run: () => command('go', ['build', '-o', bedwalk, './server']),
};

/** What `npm run build` does. */
export const buildSteps = [packages, generate, app, server];

/** What comes before the server is built, for whichever system. */
export const setupSteps = [packages, generate, app];

/** What `npm run dev` needs: Vite serves the app from its sources. */
export const devSteps = [packages, generate, server];

/**
 * Runs the steps in order as numbered lines, and stops at the first that fails.
 * @param {Step[]} steps
 * @param {number} total how many lines the whole command will number, when it goes on after these steps
 */
export async function runSteps(steps, total = steps.length) {
  for (const [index, { title, fresh, run }] of steps.entries()) {
    const skip = fresh();
    say(index + 1, total, skip ? `${title}: up to date` : title);
    if (!skip) await run();
  }
}

/**
 * @param {number} number
 * @param {number} total
 * @param {string} text
 */
export function say(number, total, text) {
  process.stdout.write(`${number}/${total} ${text}\n`);
}

/**
 * Runs a command in the repo's root with its output shown, and fails with the command's own words.
 * @param {string} name
 * @param {string[]} args
 * @returns {Promise<void>}
 */
export function command(name, args) {
  return new Promise((done, fail) => {
    // On Windows npm is a script that only a shell can start.
    const child = spawn(name, args, { cwd: root, stdio: 'inherit', shell: windows && name === 'npm' });
    child.on('error', () => fail(new Error(`${name} could not be started: is it installed and on the PATH?`)));
    child.on('exit', (code, signal) =>
      code === 0 ? done() : fail(new Error(`${name} ${args.join(' ')} ended with ${signal ?? code}`)),
    );
  });
}

/**
 * Starts the server so that it can end in its own time: out of the terminal's process group, since Ctrl-C would
 * otherwise reach it twice (from the terminal and from here), and a second one means "at once".
 * @param {string[]} args
 * @returns {Promise<number>} its exit code
 */
export function serve(args) {
  return new Promise((done, fail) => {
    const child = spawn(bedwalk, args, { cwd: root, stdio: 'inherit', detached: !windows });
    let asked = false;
    /** @param {NodeJS.Signals} signal */
    const end = (signal) => {
      if (!asked && !windows) child.kill(signal);
      asked = true;
    };
    for (const signal of /** @type {const} */ (['SIGINT', 'SIGTERM', 'SIGHUP'])) process.on(signal, () => end(signal));
    // npm starts scripts through a shell, and a shell that gets a signal ends without passing it on.
    const parent = process.ppid;
    setInterval(() => process.ppid !== parent && end('SIGTERM'), 500).unref();
    child.on('error', fail);
    child.on('exit', (code) => done(code ?? 1));
  });
}

/** npm leaves a lockfile of what it really installed; packages for other platforms are missing from it. */
function packagesAreInstalled() {
  const installed = join(root, 'node_modules', '.package-lock.json');
  if (!existsSync(installed)) return false;
  const has = JSON.parse(readFileSync(installed, 'utf8')).packages;
  const wants = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8')).packages;
  return Object.entries(wants).every(
    ([path, { version, optional }]) => path === '' || has[path]?.version === version || (optional && !has[path]),
  );
}

/**
 * @param {string} title
 * @param {string[]} inputs files and folders, from the root
 * @param {string} output without it the step is never fresh
 * @param {() => Promise<void>} make
 * @returns {Step}
 */
function step(title, inputs, output, make) {
  const stamp = join(root, 'bin', '.made', title.replaceAll(/\W+/g, '-'));
  return {
    title,
    fresh: () => existsSync(join(root, output)) && existsSync(stamp) && readFileSync(stamp, 'utf8') === hashOf(inputs),
    async run() {
      await make();
      // Hashed afterwards: a generator writes among its own inputs.
      mkdirSync(dirname(stamp), { recursive: true });
      writeFileSync(stamp, hashOf(inputs));
    },
  };
}

/** @param {string[]} inputs */
function hashOf(inputs) {
  const hash = createHash('sha256');
  for (const file of inputs.flatMap((input) => filesUnder(join(root, input)))) {
    hash.update(`${file}\0`).update(readFileSync(file)).update('\0');
  }
  return hash.digest('hex');
}

/**
 * @param {string} path
 * @returns {string[]}
 */
function filesUnder(path) {
  if (!existsSync(path)) return [];
  if (statSync(path).isFile()) return [path];
  return readdirSync(path, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name))
    .sort();
}
