/**
 * `npm run release`: the program for every system that it is made for, with what it is made of (SBOM) and checksums, in bin/release.
 * Of one commit it makes the same bytes wherever it runs with the same Go and Node: `npm run release -- --twice` makes it once more from a clone in
 * another folder, compiling everything again, and compares. `--only linux/arm64` makes the one for that system alone.
 */
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { root, runSteps, say, setupSteps } from './steps.mjs';

const systems = ['linux/amd64', 'linux/arm64', 'darwin/amd64', 'darwin/arm64', 'windows/amd64', 'windows/arm64'];
const sbomOfGo = 'github.com/CycloneDX/cyclonedx-gomod/cmd/cyclonedx-gomod@v1.10.0';
const SUMS = 'SHA256SUMS';

const said = process.argv.slice(2);
const only = after('--only');
const to = resolve(root, after('--to') ?? 'bin/release');
const wanted = only === undefined ? systems : systems.filter((system) => system === only);

/**
 * @param {string} flag
 * @returns {string | undefined}
 */
function after(flag) {
  const at = said.indexOf(flag);
  return at < 0 ? undefined : (said[at + 1] ?? '');
}

/**
 * @param {string} name
 * @param {string[]} args
 * @param {{ cwd?: string, env?: Record<string, string> }} [options]
 */
function run(name, args, { cwd = root, env = {} } = {}) {
  return execFileSync(name, args, {
    cwd,
    env: { ...process.env, ...env },
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'inherit'],
    maxBuffer: 64 << 20,
  }).trim();
}

/** @param {string} file */
const sumOf = (file) => createHash('sha256').update(readFileSync(file)).digest('hex');

/** The files of a release, without the list of their sums. */
const files = () =>
  readdirSync(to)
    .filter((name) => name !== SUMS && statSync(join(to, name)).isFile())
    .sort();

/**
 * Without Vite's list of what it made, which says where packages lie on this machine and is for `npm test -- sizes` alone.
 * @param {string} commit
 * @param {string} version
 */
function programs(commit, version) {
  const list = join(root, 'pwa', 'dist', '.vite');
  const aside = join(root, 'bin', 'vite-list');
  mkdirSync(join(root, 'bin'), { recursive: true });
  renameSync(list, aside);
  try {
    compile(commit, version);
  } finally {
    renameSync(aside, list);
  }
}

/** @param {string} commit @param {string} version */
function compile(commit, version) {
  for (const [index, system] of wanted.entries()) {
    const [GOOS = '', GOARCH = ''] = system.split('/');
    say(index + 1, wanted.length, `build for ${system}`);
    const file = `bedwalk-${version}-${GOOS}-${GOARCH}${GOOS === 'windows' ? '.exe' : ''}`;
    const again = said.includes('--again') ? ['-a'] : [];
    run(
      'go',
      [
        'build',
        ...again,
        '-trimpath',
        '-buildvcs=false',
        `-ldflags=-s -w -X main.release=${commit}`,
        '-o',
        join(to, file),
        './server',
      ],
      { env: { CGO_ENABLED: '0', GOOS, GOARCH, GOFLAGS: '' } },
    );
  }
}

/**
 * What the program and the app inside it are made of (CycloneDX), without what differs from run to run and from folder to folder.
 * @param {string} at
 * @param {string} version
 */
function sbom(at, version) {
  const server = join(to, 'sbom-server.cdx.json');
  const args = ['app', '-licenses', '-json', '-noserial', '-main', 'server', '-output', server, '.'];
  run('go', ['run', sbomOfGo, ...args], { env: { GOFLAGS: '' } });
  const app = run('npm', ['sbom', '--sbom-format=cyclonedx', '--omit=dev', '--package-lock-only']);
  for (const { name, text } of [
    { name: 'sbom-server.cdx.json', text: readFileSync(server, 'utf8') },
    { name: 'sbom-app.cdx.json', text: app },
  ]) {
    const { serialNumber: _, ...bom } = JSON.parse(text);
    bom.metadata.timestamp = at;
    bom.metadata.component = { ...bom.metadata.component, name: 'bedwalk', version };
    writeFileSync(join(to, name), `${JSON.stringify(bom, null, 1)}\n`);
  }
}

/** What a container is built of: the file that says how, and an empty folder that becomes the one for data. */
function container() {
  cpSync(join(root, 'server', 'Containerfile'), join(to, 'Containerfile'));
  mkdirSync(join(to, 'data'));
}

/** Makes it all once more, of the same commit in a folder of another name, and says which files differ. @param {string} commit */
function twice(commit) {
  const elsewhere = mkdtempSync(join(tmpdir(), 'bedwalk-release-'));
  try {
    const clone = join(elsewhere, 'clone');
    run('git', ['clone', '--quiet', '--no-checkout', root, clone]);
    run('git', ['checkout', '--quiet', commit], { cwd: clone });
    symlinkSync(join(root, 'node_modules'), join(clone, 'node_modules'));
    const other = join(elsewhere, 'out');
    run('node', ['pwa/tools/release.mjs', '--to', other, '--again', ...(only === undefined ? [] : ['--only', only])], {
      cwd: clone,
    });
    const sums = readFileSync(join(to, SUMS), 'utf8').trim().split('\n');
    const others = new Set(readFileSync(join(other, SUMS), 'utf8').trim().split('\n'));
    const differ = sums.filter((line) => !others.has(line)).map((line) => line.split('  ')[1]);
    if (differ.length > 0 || others.size !== sums.length)
      throw new Error(
        `made twice, these differ: ${differ.join(', ')}; look for a time, a path or a chance in what they are made by`,
      );
    process.stdout.write(`made twice: ${sums.length} files, the same bytes\n`);
  } finally {
    rmSync(elsewhere, { recursive: true, force: true });
  }
}

async function main() {
  if (wanted.length === 0) throw new Error(`--only takes one of ${systems.join(', ')}`);
  // A link to packages that are elsewhere is no change.
  if (run('git', ['status', '--porcelain', '--', ':!node_modules']) !== '')
    throw new Error('a release is of one commit: commit or put away what git status lists');
  if (existsSync(to) && !existsSync(join(to, SUMS)) && readdirSync(to).length > 0)
    throw new Error(`${to} holds something else; name another folder with --to`);
  await runSteps(setupSteps);
  const commit = run('git', ['rev-parse', 'HEAD']);
  const { version } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
  rmSync(to, { recursive: true, force: true });
  mkdirSync(to, { recursive: true });
  programs(commit.slice(0, 12), version);
  sbom(new Date(run('git', ['show', '-s', '--format=%cI', 'HEAD'])).toISOString(), version);
  container();
  cpSync(join(root, 'LICENSE'), join(to, 'LICENSE'));
  writeFileSync(
    join(to, SUMS),
    files()
      .map((name) => `${sumOf(join(to, name))}  ${name}\n`)
      .join(''),
  );
  process.stdout.write(`${to}:\n${readFileSync(join(to, SUMS), 'utf8')}`);
  if (said.includes('--twice')) twice(commit);
}

await main().catch((error) => {
  process.stderr.write(`${error.message}\n`);
  process.exitCode = 1;
});
