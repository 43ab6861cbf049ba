/**
 * `npm run bench:scale`: what grows with a nursery, on one machine in one run: 22,000, 90,000, 315,000 and 900,000 notes of
 * the demo, at the server, on a phone and at a desk. `npm run bench:scale -- 40x1 40x4` measures nurseries of these beds and seasons only. Each figure is printed
 * with its ratio a note to the smallest nursery: 1 is linear, and what is flat comes out far below. It is a bench and never
 * a test: it fails only when something could not be measured.
 */
import { existsSync } from 'node:fs';
import { cpus, loadavg } from 'node:os';
import { join } from 'node:path';
import { Figures, goBench, inBrowser, inFolder, machine, prepare, print, printed, short } from './bench/run.mjs';
import { bedwalk, chromium } from './steps.mjs';

/** A ratio a note above this, and a request longer than this, is a miss. */
const RATIO = 1.3;
const LONGEST_MS = 10_000;
/** The aims at about a million notes, by the figure's name. @type {Record<string, number>} */
const aims = {
  'server memory, warm': 300,
  'server memory, after all views': 300,
  'start to first Beds, as on any day': 3,
  'beds, change': 10_000,
  'me while Scouts is made, p95': 20,
  'digest at a new head, p95': 50,
  'first pull': 60,
  'phone: storage': 60,
  'desk: first tile': 1500,
  'desk: longest task of Beds': 100,
};
const NOTHING_NEW_MS = 100;
const AFTER_A_NOTE_MS = 150;
const MILLION = 900_000;

const sizes = (process.argv.length > 2 ? process.argv.slice(2) : ['40x1', '40x4', '280x2', '400x4']).map(sizeOf);
/** What no ratio is asked of: the number of notes, and how long one request took. */
const untimed = ['notes', 'longest request'];

const noBrowser = existsSync(chromium) ? '' : `no Chromium at ${chromium}; name yours with CHROMIUM=/path/to/it`;
await prepare();
const busy = loadavg()[0] ?? 0;
/** @type {{name: string, notes: number, figures: Map<string, {unit: string, value: number}>}[]} */
const measured = [];
/** What could not be measured, and why. @type {string[]} */
const lacking = [];
for (const { beds, seasons } of sizes) {
  const name = `${beds} beds x ${seasons}`;
  print(`measuring ${name}`);
  const size = ['--beds', String(beds), '--seasons', String(seasons)];
  const text = await inFolder(async (folder) => {
    const server = await printed(goBench, ['scale', '--binary', bedwalk, '--keep', folder, ...size]);
    return noBrowser === ''
      ? `${server}\n${await inBrowser((browser) => phoneAndDesk(browser, name, join(folder, 'data')))}`
      : server;
  });
  const figures = new Figures();
  figures.take(text);
  const names = text.split('\n').flatMap((line) => (line.startsWith('{') ? [JSON.parse(line)] : []));
  // What the phone's bench measures several times stands under several names; each is one row.
  const rows = [...new Map(names.map((one) => [one.name, one.unit]))];
  // A large nursery takes long, and a run that is broken off has shown what it had.
  print(rows.map(([row, unit]) => `  ${row}: ${short(figures.median(row))} ${unit}`).join('\n'));
  measured.push({
    name,
    // The server's bench says so first, before it writes some of its own; the phone's says it again after them.
    notes: names.find((one) => one.name === 'notes').runs[0],
    figures: new Map(rows.map(([row, unit]) => [row, { unit, value: figures.median(row) }])),
  });
}
report();

/**
 * What was measured until something failed is kept.
 * @param {typeof import('./bench/pages.ts')} browser
 * @param {string} nursery
 * @param {string} data its folder
 */
async function phoneAndDesk(browser, nursery, data) {
  try {
    await browser.measureScale(data);
  } catch (error) {
    lacking.push(`${nursery}: ${error instanceof Error ? error.message : error}`);
  }
}

/** @param {string} text as "40x4" */
function sizeOf(text) {
  const [, beds, seasons] = /^(\d+)x(\d+)$/.exec(text) ?? [];
  if (beds === undefined || seasons === undefined)
    throw new Error(`${text} is not a size; write beds and seasons as 40x4: npm run bench:scale -- 40x1 40x4`);
  return { beds: Number(beds), seasons: Number(seasons) };
}

function report() {
  print(`\n${machine()}`);
  if (busy > cpus().length / 2)
    print(
      `THE MACHINE WAS BUSY: ${busy.toFixed(1)} programs wanted its ${cpus().length} processors. A miss may be no miss.`,
    );
  const [smallest] = measured;
  if (!smallest) return;
  print(
    `\nEach figure, and its ratio a note to ${smallest.name}. Over ${RATIO} is a miss, and any request over 10 s.\n`,
  );
  print(`  ${'what'.padEnd(34)}${measured.map(({ name }) => name.padStart(22)).join('')}`);
  print(`  ${'notes'.padEnd(34)}${measured.map(({ notes }) => short(notes).padStart(22)).join('')}`);
  /** @type {string[]} */
  const missed = [];
  for (const name of smallest.figures.keys()) {
    // One request that was slow on a busy machine is no growth; over 10 s it counts as the longest request.
    if (name === 'notes' || (name.endsWith(', longest') && !name.startsWith('digest'))) continue;
    const cells = measured.map((nursery) => cell(name, nursery, smallest, missed));
    print(`  ${name.padEnd(34)}${cells.map((text) => text.padStart(22)).join('')}`);
  }
  print(missed.length === 0 ? '\nNothing missed.' : `\nMISSED:\n  ${missed.join('\n  ')}`);
  if (!measured.some(({ notes }) => notes >= MILLION))
    print(`No nursery of ${short(MILLION)} notes or more was measured: the aims at a million were not tried.`);
  print(
    noBrowser === ''
      ? "Phone and desk run in Chromium, the screen's thread slowed down four times; the phone's sync worker is not."
      : `PHONE AND DESK LEFT OUT: ${noBrowser}`,
  );
  if (lacking.length === 0) return;
  print(`\nNOT MEASURED:\n  ${lacking.join('\n  ')}`);
  process.exitCode = 1;
}

/**
 * @param {string} name
 * @param {(typeof measured)[number]} nursery
 * @param {(typeof measured)[number]} smallest
 * @param {string[]} missed
 */
function cell(name, nursery, smallest, missed) {
  const figure = nursery.figures.get(name);
  const first = smallest.figures.get(name);
  if (!figure || !first) return '-';
  const { unit, value } = figure;
  const ratio = value / nursery.notes / (first.value / smallest.notes);
  const what = `${name} at ${nursery.name}: ${short(value)} ${unit}`;
  if (!untimed.includes(name) && !name.endsWith(', longest') && ratio > RATIO)
    missed.push(`${what}, ${short(ratio)} times as much a note`);
  if (unit === 'ms' && value > LONGEST_MS) missed.push(`${what}, over 10 s`);
  const aim = nursery.notes >= MILLION ? aimOf(name) : undefined;
  if (aim !== undefined && value > aim) missed.push(`${what}, aim ${short(aim)}`);
  return `${short(value)} ${unit} (${short(ratio)})`;
}

/** @param {string} name */
function aimOf(name) {
  if (name.endsWith('nothing new, p95')) return NOTHING_NEW_MS;
  if (name.endsWith('after one note, p95')) return AFTER_A_NOTE_MS;
  return aims[name];
}
