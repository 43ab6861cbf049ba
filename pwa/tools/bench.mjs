/** `npm run bench`: every bench that there is, the small ones first. */
import { spawn } from 'node:child_process';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { bundled, Figures, goBench, inBrowser, inFolder, machine, prepare, print, printed } from './bench/run.mjs';
import { bedwalk, chromium as found, command } from './steps.mjs';

/** A frame: what is computed after a tap must be there with the next picture. */
const FRAME_MS = 16;
/** A sheet of the most lines that one may have. */
const SHEET_S = 30;
const SHEET_MB = 500;
/** The plan of 500 lots: from a start until it is there, and an answer while nothing is new. */
const PLAN_S = 8;
const PLAN_MS = 100;

await prepare();
const figures = new Figures();
await inFolder(async (folder) => {
  const walk = join(folder, 'walk.json');
  const steps = await printed(goBench, ['micro', '--walk', walk]);
  figures.take(steps);
  print(`\n${machine()}\nSteps of package sync, one core; a note is an observation\n`);
  for (const text of steps.trimEnd().split('\n')) {
    const { name } = JSON.parse(text);
    print(`  ${name.padEnd(40)} ${figures.text(name)}`);
  }
  await scoreOfASheet(folder);
  await scoreOnAPhone(walk);
  await planOfManyLots();
});
for (const script of ['bench-phone.mjs', 'bench-sync.mjs']) await command('node', [join('pwa', 'tools', script)]);

/**
 * `bedwalk score --length` of a sheet of 10,000 lines, and of the most that one may have: time must grow with the lines, not
 * with their square.
 * @param {string} folder
 */
async function scoreOfASheet(folder) {
  print('\nbedwalk score --length of a sheet, heads, buds, chlorosis and disease in every line\n');
  for (const { rows, across } of [
    { rows: 716, across: 14 },
    { rows: 2000, across: 100 },
  ]) {
    const file = join(folder, `sheet-${rows}.csv`);
    writeFileSync(file, sheetOf(rows, across));
    const { seconds, megabytes } = await measured(bedwalk, ['score', '--length', String(rows / 10), file]);
    const within = seconds <= SHEET_S && megabytes <= SHEET_MB ? 'reached' : 'MISSED';
    const lines = `${rows * across} lines`;
    print(
      `  ${lines.padEnd(40)} ${seconds.toFixed(1)} s, ${megabytes} MB; aim ${SHEET_S} s and ${SHEET_MB} MB: ${within}`,
    );
  }
}

/** A nursery of 320 beds, as the demo makes it, in the real program. */
async function planOfManyLots() {
  const all = new Figures();
  all.take(await printed(goBench, ['plan', '--binary', bedwalk]));
  print(`\nThe plan of ${all.median('plan: lots')} lots, in the real program over HTTP\n`);
  const line = (/** @type {string} */ name, /** @type {number | undefined} */ aim) => {
    const value = all.median(name);
    const verdict = aim === undefined ? '' : `; under ${aim}: ${value < aim ? 'reached' : 'MISSED'}`;
    print(`  ${name.replace('plan: ', '').padEnd(40)} ${all.text(name)}${verdict}`);
  };
  line('plan: start to the first', PLAN_S);
  for (const view of ['plan', 'supply', 'work']) {
    line(`plan: ${view}, nothing new, p95`, PLAN_MS);
    line(`plan: ${view}, after one note, p95`, undefined);
  }
}

/** @param {number} rows @param {number} across */
function sheetOf(rows, across) {
  const lines = ['lot,row,across,head,buds,chlorosis,disease'];
  // Any even mixture does: what is timed is the number of lines.
  let state = 1;
  const below = (/** @type {number} */ n) => (state = (state * 48271) % 2147483647) % n;
  for (let row = 1; row <= rows; row++) {
    for (let place = 1; place <= across; place++) {
      const [head, buds] = [250 + below(50) + below(50), 25 + below(15) + below(15)];
      lines.push(
        `A,${row},${place},${head},${buds},${below(8) === 0 ? 'young' : 'none'},${below(7) === 0 ? 'yes' : 'no'}`,
      );
    }
  }
  return lines.join('\n');
}

/**
 * How long a command takes, and the most memory that it had (0 where /proc does not say).
 * @param {string} program @param {string[]} words
 */
function measured(program, words) {
  return new Promise((resolve, reject) => {
    const begun = performance.now();
    let megabytes = 0;
    const child = spawn(program, words, { stdio: ['ignore', 'ignore', 'inherit'] });
    const watch = setInterval(() => {
      const status = `/proc/${child.pid}/status`;
      const peak = existsSync(status) ? /VmHWM:\s+(\d+)/.exec(readFileSync(status, 'utf8')) : null;
      if (peak) megabytes = Math.max(megabytes, Math.round(Number(peak[1]) / 1024));
    }, 50);
    child.on('error', reject);
    child.on('close', (code) => {
      clearInterval(watch);
      if (code === 0) resolve({ seconds: (performance.now() - begun) / 1000, megabytes });
      else reject(new Error(`${program} ${words.join(' ')} ended with ${code}`));
    });
  });
}

/** @param {string} walk */
async function scoreOnAPhone(walk) {
  const chromium = (process.env['CHROMIUM'] ??= found);
  if (!existsSync(chromium)) {
    print(`  THE PHONE'S SCORE LEFT OUT: no Chromium at ${chromium}; name yours with CHROMIUM=/path/to/chromium`);
    return;
  }
  const script = await bundled('score.ts', 'page');
  for (let run = 0; run < 5; run++) figures.take(await inBrowser((browser) => browser.measureScore(script, walk)));
  print("\nThe phone's score of a walk of 60 pots, Chromium at a quarter of its speed\n");
  for (const name of ['phone score first', 'phone score median', 'phone score p95']) {
    const reached = figures.median(name) <= FRAME_MS ? 'reached' : 'MISSED';
    print(`  ${name.padEnd(40)} ${figures.text(name)}; aim at most ${FRAME_MS} ms: ${reached}`);
  }
}
