/** What the bench commands share: building what is measured, running it, gathering figures over several runs. */
import { spawn, spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { cpus, tmpdir } from 'node:os';
import { join } from 'node:path';
import { build, createServer } from 'vite';
import { bedwalk, buildSteps, command, root, runSteps } from '../steps.mjs';

/** @typedef {{unit: string, runs: number[]}} Figure */

const made = join(root, 'bin', 'bench');
/** The Go side of the benches. */
export const goBench = join(made, process.platform === 'win32' ? 'bench.exe' : 'bench');

/** Builds the program that is measured, unless it is to be measured as it was built before. */
export async function prepareApp() {
  if (process.env['BEDWALK_BENCH_AS_BUILT'] === undefined) await runSteps(buildSteps);
}

/** Builds the program that is measured and the Go side of what measures it. */
export async function prepare() {
  await prepareApp();
  mkdirSync(made, { recursive: true });
  await command('go', ['build', '-o', goBench, './server/bench']);
}

export class Figures {
  /** @type {Map<string, Figure>} */
  #all = new Map();

  /** @param {string} lines one JSON object a line: name, unit, runs */
  take(lines) {
    for (const line of lines.split('\n').filter((text) => text.startsWith('{'))) {
      const { name, unit, runs } = JSON.parse(line);
      const known = this.#all.get(name);
      if (known) known.runs.push(...runs);
      else this.#all.set(name, { unit, runs });
    }
  }

  /** In the order in which they were first measured. */
  names() {
    return [...this.#all.keys()];
  }

  /** @param {string} name */
  has(name) {
    return this.#all.has(name);
  }

  /** @param {string} name */
  median(name) {
    return median(this.#of(name).runs);
  }

  /** @param {string} name @param {number} share of the runs that took at most this long, from 0 to 1 */
  quantile(name, share) {
    const sorted = this.#of(name).runs.toSorted((a, b) => a - b);
    return sorted[Math.min(Math.ceil(sorted.length * share), sorted.length) - 1] ?? Number.NaN;
  }

  /** @param {string} name */
  greatest(name) {
    return Math.max(...this.#of(name).runs);
  }

  /** @param {string} name @returns {string} the median, and in brackets from the least to the greatest */
  text(name) {
    const { unit, runs } = this.#of(name);
    return `${short(median(runs))} ${unit} (${short(Math.min(...runs))} to ${short(Math.max(...runs))}, ${runs.length === 1 ? '1 run' : `${runs.length} runs`})`;
  }

  /** Figures of one kind, run by run, divided by those of another of the same runs. @param {string} above @param {string} below */
  ratio(above, below) {
    const [over, under] = [this.#of(above).runs, this.#of(below).runs];
    const each = over.slice(0, under.length).map((value, i) => value / (under[i] ?? Number.NaN));
    return {
      median: median(each),
      text: `${short(median(each))} (${short(Math.min(...each))} to ${short(Math.max(...each))})`,
    };
  }

  /** @param {string} name */
  #of(name) {
    const found = this.#all.get(name);
    if (!found) throw new Error(`nothing was measured under "${name}"`);
    return found;
  }
}

/**
 * @param {string} name
 * @param {string[]} args
 * @returns {Promise<string>} what it printed
 */
export async function printed(name, args) {
  const child = spawn(name, args, { cwd: root, stdio: ['ignore', 'pipe', 'pipe'] });
  const text = { out: '', err: '' };
  child.stdout.setEncoding('utf8').on('data', (some) => (text.out += some));
  child.stderr.setEncoding('utf8').on('data', (some) => (text.err += some));
  const code = await new Promise((done, fail) => child.on('error', fail).on('close', done));
  if (code !== 0) throw new Error(`${name} ${args.join(' ')} ended with ${code}:\n${text.err}`);
  return text.out;
}

/**
 * One source file of the bench and all that it imports, as one file.
 * @param {string} entry in pwa/tools/bench
 * @param {'node' | 'page'} where
 * @returns {Promise<string>} its path
 */
export async function bundled(entry, where) {
  const name = entry.replace(/\.ts$/, '');
  const source = join(root, 'pwa', 'tools', 'bench', entry);
  const out = { outDir: made, emptyOutDir: false, target: 'es2022' };
  await build({
    configFile: false,
    root,
    logLevel: 'error',
    publicDir: false,
    build:
      where === 'node'
        ? { ...out, ssr: source, rollupOptions: { output: { entryFileNames: `${name}.mjs` } } }
        : { ...out, lib: { entry: source, name: 'bench', formats: ['iife'], fileName: () => `${name}.js` } },
  });
  return join(made, `${name}.${where === 'node' ? 'mjs' : 'js'}`);
}

/**
 * Runs something of pages.ts, which is TypeScript down to the harness, in this process, and takes what it prints.
 * @param {(browser: typeof import('./pages.ts')) => Promise<void>} work
 * @returns {Promise<string>}
 */
export async function inBrowser(work) {
  // Where the demo's nursery stands (fixtures/nursery/facts.go), and whoever works in it: a device in another zone says whose
  // clock it shows, in a line that comes after the first drawing and moves what is below it.
  process.env['TZ'] = 'America/New_York';
  const vite = await createServer({
    configFile: false,
    root,
    logLevel: 'error',
    appType: 'custom',
    server: { middlewareMode: true, ws: false, watch: null },
    optimizeDeps: { noDiscovery: true },
  });
  const write = process.stdout.write.bind(process.stdout);
  let text = '';
  try {
    const module = await vite.ssrLoadModule('/pwa/tools/bench/pages.ts');
    process.stdout.write = (some) => ((text += some), true);
    await work(/** @type {typeof import('./pages.ts')} */ (module));
  } finally {
    process.stdout.write = write;
    await vite.close();
  }
  return text;
}

/**
 * A folder for the length of some work.
 * @template T
 * @param {(folder: string) => Promise<T>} work
 */
export async function inFolder(work) {
  const folder = mkdtempSync(join(tmpdir(), 'bedwalk-bench-'));
  try {
    return await work(folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** What the figures were measured on: rates mean nothing without it. */
export function machine() {
  const [first] = cpus();
  const go = spawnSync('go', ['version'], { encoding: 'utf8' }).stdout.split(' ')[2];
  return `${cpus().length} x ${first?.model.trim() ?? 'unknown processor'}, ${go}, Node ${process.version}, ${bedwalk}`;
}

/** @param {number[]} values */
export function median(values) {
  const sorted = values.toSorted((a, b) => a - b);
  const middle = sorted.length / 2;
  const [low, high] = [sorted[Math.ceil(middle) - 1] ?? Number.NaN, sorted[Math.floor(middle)] ?? Number.NaN];
  return (low + high) / 2;
}

/** @param {number} value three digits that count, in groups */
export function short(value) {
  if (Math.abs(value) >= 1000) return Math.round(value).toLocaleString('en-GB').replaceAll(',', ' ');
  return Number(value.toPrecision(3)).toString();
}

/** @param {string} text */
export function print(text) {
  process.stdout.write(`${text}\n`);
}
