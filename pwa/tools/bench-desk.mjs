/**
 * `npm run bench:desk`: how long a supervisor's desk shows nothing to work with, what a note sends to it, and each view's p95, on the
 * demo. `npm run bench:desk -- --large` measures 400 beds with four seasons too, about 900,000 notes, which takes minutes to make;
 * `-- --beds 80 --seasons 2` a nursery of that size in its place. It is a bench and never a test: it fails only where something could
 * not be measured.
 */
import { existsSync } from 'node:fs';
import { cpus, loadavg } from 'node:os';
import { join } from 'node:path';
import { Figures, inBrowser, inFolder, machine, prepareApp, print, short } from './bench/run.mjs';
import { bedwalk, chromium, command } from './steps.mjs';

/** The aims. A change is that of one pot, for a desk that shows all beds. */
const USEFUL_MS = 1500;
const NOTHING_NEW_MS = 100;
const CHANGE_BYTES = 20_000;

if (!existsSync(chromium)) throw new Error(`there is no Chromium at ${chromium}; name yours with CHROMIUM=/path/to/it`);
await prepareApp();
const busy = loadavg()[0] ?? 0;
print(machine());
if (busy > cpus().length / 2)
  print(`THE MACHINE WAS BUSY: ${short(busy)} programs wanted its ${cpus().length} processors. A miss may be no miss.`);
report('The demo', await measured(undefined));
const size = process.argv.slice(2);
if (size.length > 0)
  await inFolder(async (folder) => {
    const data = join(folder, 'data');
    await command(bedwalk, ['demo', '--data', data, ...size]);
    report(`bedwalk demo ${size.join(' ')}`, await measured(data));
  });

/** @param {string | undefined} data */
async function measured(data) {
  const figures = new Figures();
  figures.take(await inBrowser((browser) => browser.measureDesk(data)));
  return figures;
}

/** @param {string} what @param {Figures} figures */
function report(what, figures) {
  print(`\n${what}\n\n  From the address to something to work with; slow is a quarter of this machine's speed`);
  for (const name of figures.names().filter((each) => each.endsWith(', full speed') || each.endsWith(', slow'))) {
    const aim = name.startsWith('beds: first') && name.endsWith(', slow');
    const said = aim ? `; under ${USEFUL_MS}: ${verdict(figures.median(name) < USEFUL_MS)}` : '';
    line(name, `${figures.text(name)}${said}`);
  }
  print('\n  One more pot, while a desk shows all beds: what the page is sent, gzipped');
  for (const name of figures.names().filter((each) => each.startsWith('a change: '))) {
    const aim = name === 'a change: all views';
    const said = aim ? `; at most ${short(CHANGE_BYTES)}: ${verdict(figures.greatest(name) <= CHANGE_BYTES)}` : '';
    line(name.replace('a change: ', ''), `${figures.text(name)}${said}`);
  }
  print('\n  Each view, asked again and again: p95, and bytes as they are sent');
  for (const name of figures.names().filter((each) => each.startsWith('view ') && !each.endsWith(', sent'))) {
    const p95 = figures.quantile(name, 0.95);
    const said = name === 'view beds, nothing new' ? `; under ${NOTHING_NEW_MS}: ${verdict(p95 < NOTHING_NEW_MS)}` : '';
    line(name.replace('view ', ''), `${short(p95)} ms, ${short(figures.median(`${name}, sent`))} bytes${said}`);
  }
}

/** @param {boolean} reached */
function verdict(reached) {
  return reached ? 'reached' : 'MISSED';
}

/** @param {string} name @param {string} value */
function line(name, value) {
  print(`  ${name.padEnd(48)} ${value}`);
}
