/**
 * `npm run bench:phone`: what a scout's phone makes of the season's notes, beside the figures that the screens were
 * designed to. Times are this machine's, slowed down four times by Chromium, and mean little on a busy machine: its
 * load is printed with them. It is a bench and never a test: it fails only when something could not be measured.
 */
import { existsSync } from 'node:fs';
import { cpus, loadavg } from 'node:os';
import { join } from 'node:path';
import { installLighthouse } from './bench/peers.mjs';
import { Figures, inBrowser, machine, prepareApp, print, short } from './bench/run.mjs';
import { sizes } from './sizes.mjs';
import { chromium as found, root } from './steps.mjs';

const chromium = (process.env['CHROMIUM'] ??= found);
if (!existsSync(chromium)) {
  throw new Error(`there is no Chromium at ${chromium}; name yours with CHROMIUM=/path/to/chromium`);
}
await prepareApp();
// Weighed at once: whoever builds during the long rest would have half a build weighed.
const weighed = sizes(join(root, 'pwa', 'dist'));
const figures = new Figures();
const loads = [load()];
figures.take(await inBrowser((browser) => browser.measurePhone()));
loads.push(load());
report();
await lighthouse();

function report() {
  print(`\n${machine()}`);
  print(`Programs that wanted its ${cpus().length} processors, before and after: ${loads.map(short).join(', ')}`);
  // This bench alone keeps server and browser busy: only what wanted the processors before it tells of others.
  if ((loads[0] ?? 0) > cpus().length / 2) {
    print('THE MACHINE WAS BUSY: the times below are longer than the phone would take, and a miss may be no miss.');
    print('Run it again when nothing else runs. Taps, sizes and memory hold.');
  }
  print(`\nThe demo nursery, ${short(figures.median('notes'))} notes on the phone; Chromium slowed down four times`);
  line('slow-down, measured', figures.text('slow-down'));
  line('first pull, at the slow-down', figures.text('first pull'));
  line('  longest task on the screen while it pulls', longest('first pull'));
  line('JS heap of the screen, in a walk', figures.text('heap'));

  print('\nTap to saved: from the finger lifting until the screen says that it is on the disk');
  saved('full speed', 50);
  saved('slow', 100);
  print("\nLongest task on the screen's thread; Chromium tells of none under 50 ms");
  task('walk full speed', 'in a walk, full speed');
  task('walk slow', 'in a walk, four times slower');
  task('start', 'at a cold start, four times slower');

  print('\nCold start out of range, app and worker ended before, four times slower');
  most('first content', 'cold start content', 1000);
  most("today's beds", 'cold start today', 1500);
  most('a walk that can go on', 'cold start walk', 1500);

  print('\nA full pot: head, buds, root cover and life, leaves');
  const taps = figures.greatest('taps for a full pot');
  line('taps, counted over whole pots', `${taps}; at most 8: ${verdict(taps <= 8)}`);
  line('seconds of a practised hand', 'not measured here; a person with a watch must');

  print('\nSizes, gzipped');
  for (const { what, bytes, kilobytes, over } of weighed)
    line(what, `${(bytes / 1000).toFixed(1)} KB; under ${kilobytes}: ${verdict(!over)}`);
}

/** @param {string} speed @param {number} bound milliseconds */
function saved(speed, bound) {
  for (const [title, name] of /** @type {const} */ ([
    ['every answer', `tap to saved ${speed}`],
    ['the tap that closes a pot', `pot to saved ${speed}`],
  ])) {
    const [half, most] = [figures.quantile(name, 0.5), figures.quantile(name, 0.95)];
    line(
      `${title}, ${speed}`,
      `p50 ${short(half)} ms, p95 ${short(most)} ms; p95 under ${bound}: ${verdict(most < bound)}`,
    );
  }
}

/** @param {string} name @param {string} title */
function task(name, title) {
  line(title, `${longest(name)}; none over 50: ${verdict(figures.greatest(`longest task ${name}`) <= 50)}`);
}

/** @param {string} name */
function longest(name) {
  const ms = figures.greatest(`longest task ${name}`);
  return ms === 0 ? 'none of 50 ms' : `${short(ms)} ms`;
}

/** @param {string} title @param {string} name @param {number} bound milliseconds */
function most(title, name, bound) {
  line(title, `${figures.text(name)}; under ${bound}: ${verdict(figures.median(name) < bound)}`);
}

/** Scores of the mobile profile: a slow phone and a slow network, both simulated by Lighthouse. */
async function lighthouse() {
  print('\nLighthouse, mobile profile');
  const missing = installLighthouse();
  if (missing !== '') {
    print(`  LIGHTHOUSE LEFT OUT, it could not be installed: ${missing}`);
    return;
  }
  const printed = await inBrowser((browser) => browser.measureLighthouse());
  figures.take(printed);
  // Four times slower than what? Lighthouse's documents put a fast desk at 1500 and more, a phone of the middle at 125 to
  // 800 (values from memory).
  line("this machine's own speed", `${figures.text('lighthouse machine')}, as Lighthouse measures it`);
  for (const screen of ['first', 'today']) {
    print(screen === 'first' ? '  The first load, on a phone that nobody has paired' : "  A scout's day, paired");
    for (const [what, least] of /** @type {const} */ ([
      ['accessibility', 100],
      ['best-practices', 100],
      ['performance', 96],
    ])) {
      const name = `lighthouse ${screen} ${what}`;
      line(`  ${what}`, `${figures.text(name)}; at least ${least}: ${verdict(figures.median(name) >= least)}`);
    }
    for (const what of [
      'first-contentful-paint',
      'largest-contentful-paint',
      'total-blocking-time',
      'total-byte-weight',
    ])
      line(`  ${what}`, figures.text(`lighthouse ${screen} ${what}`));
    for (const lost of new Set(printed.split('\n').filter((text) => text.startsWith(`lost ${screen}, `))))
      print(`      ${lost.replace(`lost ${screen}, `, 'lost: ')}`);
  }
}

/** @param {boolean} reached */
function verdict(reached) {
  return reached ? 'reached' : 'MISSED';
}

/** @param {string} name @param {string} value */
function line(name, value) {
  print(`  ${name.padEnd(44)} ${value}`);
}

function load() {
  return loadavg()[0] ?? Number.NaN;
}
