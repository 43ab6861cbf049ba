/**
 * `npm run bench:sync`: how fast notes meet, beside what the machine allows and what others reach, all in one run, so
 * that the ratios hold although the rates are this machine's alone. One run takes about two minutes; `npm run bench:sync -- 5`
 * makes five, and prints medians with their range. It is a bench and never a test: it fails only when something could not be measured.
 */
import { existsSync } from 'node:fs';
import { cpus, loadavg } from 'node:os';
import { join } from 'node:path';
import { installPeers, versions } from './bench/peers.mjs';
import { bundled, Figures, goBench, inBrowser, inFolder, machine, prepare, print, printed } from './bench/run.mjs';
import { bedwalk, chromium as found, root } from './steps.mjs';

const runs = Number(process.argv[2] ?? 1);
if (!Number.isInteger(runs) || runs < 1)
  throw new Error('give the number of runs as a whole number: npm run bench:sync -- 5');
const NOTES = 20_000;
const figures = new Figures();
const script = (/** @type {string} */ name) => join(root, 'pwa', 'tools', 'bench', name);

await prepare();
const [busyBefore = 0] = loadavg();
const noPeers = installPeers();
await inFolder(async (folder) => {
  const notes = join(folder, 'notes.jsonl');
  await printed(goBench, ['notes', '--to', notes, '--notes', String(NOTES)]);
  const fold = await bundled('fold.ts', 'node');
  // Each run measures everything once, one thing after another: what the machine does besides meets all alike.
  for (let run = 0; run < runs; run++) {
    print(`run ${run + 1} of ${runs}`);
    figures.take(await printed(goBench, ['push', '--binary', bedwalk, '--runs', '1']));
    figures.take(await printed('node', [fold, notes]));
    if (noPeers !== '') continue;
    figures.take(await printed('node', [script('pouchdb.mjs'), notes, join(folder, `pouchdb-${run}`)]));
    for (const peer of ['yjs', 'loro', 'automerge'])
      figures.take(await printed('node', [script('crdts.mjs'), notes, peer]));
  }
});
const noBrowser = await pullInBrowser();
report();

/** @returns {Promise<string>} why it could not be, '' when it was */
async function pullInBrowser() {
  const chromium = (process.env['CHROMIUM'] ??= found);
  if (!existsSync(chromium)) return `no Chromium at ${chromium}; name yours with CHROMIUM=/path/to/chromium`;
  for (let run = 0; run < runs; run++) {
    print(`Chromium ${run + 1} of ${runs}`);
    try {
      figures.take(await inBrowser((browser) => browser.measurePull(goBench, NOTES)));
    } catch (error) {
      // The other figures are worth printing all the same.
      return `${error instanceof Error ? error.message : error}`;
    }
  }
  return '';
}

function report() {
  print(`\n${machine()}`);
  print('Medians, in brackets from the least to the greatest. Ratios are of the same run.');
  if (busyBefore > cpus().length / 2) {
    print(
      `THE MACHINE WAS BUSY: ${busyBefore.toFixed(1)} programs wanted its ${cpus().length} processors before the bench.`,
    );
    print(
      'A push needs several programs and waits for each in turn, modernc alone is one: its ratio comes out too low. The',
    );
    print('processor times hold. Run it again when nothing else runs.');
  }
  print('');
  print(
    'Durable push over HTTP: the real program, 20 devices at once, batches of 500 or 256 KiB in gzip, access, chain and',
  );
  print('digest on, records folded, synchronous=FULL; the phones that push are on the same processors.');
  pushed('push', 'push');
  line('modernc.org/sqlite alone, entries', figures.text('raw_journal'));
  line('modernc.org/sqlite alone, all rows', figures.text('raw_whole'));
  line('processor time of the server', figures.text('push_cpu'));
  if (figures.has('raw_whole_cpu')) line('processor time of modernc alone, all rows', figures.text('raw_whole_cpu'));
  aim('push to modernc alone, all rows', figures.ratio('push', 'raw_whole'), 0.5);
  aim('push to modernc alone, entries only', figures.ratio('push', 'raw_journal'), 0.5);
  inPostgres();
  if (noPeers === '') {
    line('PouchDB to PouchDB Server, replicated', figures.text('pouchdb push'));
    line('PouchDB Server, bulk, nothing asked', figures.text('pouchdb bulk'));
    aim('push to PouchDB replication', figures.ratio('push', 'pouchdb push'), 20);
    line('push to PouchDB bulk', figures.ratio('push', 'pouchdb bulk').text);
    print(
      '    As it comes, PouchDB Server answers before LevelDB has forced anything to the disk; ours is on the disk then.',
    );
    line('PouchDB Server, LevelDB sync: true', figures.text('pouchdb durable push'));
    aim('push to PouchDB replication, durable', figures.ratio('push', 'pouchdb durable push'), 20);
  }
  bytes();
  merging();
  pulling();
  if (noPeers === '')
    print(
      `\nPeers, none of them part of Bedwalk: ${Object.entries(versions)
        .map((pair) => pair.join(' '))
        .join(', ')}`,
    );
  else print(`\nPEERS LEFT OUT, they could not be installed: ${noPeers}`);
}

/** @param {string} name @param {string} measured what the figures' names begin with */
function pushed(name, measured) {
  line(name, figures.text(measured));
  line('  a batch, median', figures.text(`${measured}_batch_p50`));
  most('  a batch, 99 %', `${measured}_batch_p99`, 1000);
  line('  the last phone through, to the first', figures.text(`${measured}_last_to_first`));
}

/** PostgreSQL's own processes are on the same processors as all else; their time is not in the server's. */
function inPostgres() {
  if (!figures.has('postgres_push')) {
    print('  POSTGRESQL LEFT OUT, it is not installed: apt-get install postgresql');
    return;
  }
  pushed('push, notes in PostgreSQL', 'postgres_push');
  line('pgx alone, entries', figures.text('postgres_raw_journal'));
  line('pgx alone, all rows', figures.text('postgres_raw_whole'));
  line('processor time of the server', figures.text('postgres_push_cpu'));
  aim('push to pgx alone, all rows', figures.ratio('postgres_push', 'postgres_raw_whole'), 0.5);
  line('push in PostgreSQL to push in the file', figures.ratio('postgres_push', 'push').text);
}

function bytes() {
  print('\nBytes a note (an observation with all its fields, five ids of 128 random bits among them)');
  line('canonical JSON', figures.text('plain'));
  most('on the wire, in batches, gzip', 'wire', 16);
  print(
    "    16 bytes are the random bits of the note's own id alone, which no compression takes away; its times and its",
  );
  print('    measures, and where gzip finds each field again, are the rest.');
  most('at rest at the server, all indexes', 'rest', 220);
  print(
    '    An entry is kept as its shape and its values; its random id, which nothing compresses, is there four times: in its row,',
  );
  print("    in the index of ids, and as digits in the key of the pot's record and the index of keys.");
  if (figures.has('postgres_rest')) line('at rest in PostgreSQL, all indexes', figures.text('postgres_rest'));
  if (noPeers !== '') return;
  line('PouchDB Server at rest', figures.text('pouchdb rest'));
  for (const peer of ['yjs', 'loro', 'automerge']) {
    line(`${peer} on the wire`, `${figures.text(`${peer} wire`)}; gzip ${figures.text(`${peer} wire gzipped`)}`);
    line(`${peer} at rest, in one file`, figures.text(`${peer} rest`));
  }
  print("    The peers were given the note without the device's numbering, session and schema version.");
}

function merging() {
  print(`\nMerge in memory, ${NOTES.toLocaleString('en-GB')} notes of 20 devices into an empty state`);
  line('our fold, TypeScript', figures.text('fold in TypeScript'));
  if (noPeers !== '') return;
  for (const peer of ['yjs', 'loro', 'automerge']) {
    line(peer, figures.text(`${peer} merge`));
    line(`our fold to ${peer}`, figures.ratio('fold in TypeScript', `${peer} merge`).text);
  }
}

function pulling() {
  print(`\nPull of ${NOTES.toLocaleString('en-GB')} notes into a fresh client`);
  if (noBrowser !== '') print(`    CHROMIUM LEFT OUT: ${noBrowser}`);
  else {
    line('the real app in Chromium, to its journal', figures.text('chromium pull'));
    line('  in all', figures.text('chromium pull whole'));
  }
  if (noPeers === '') line('PouchDB from PouchDB Server, to LevelDB', figures.text('pouchdb pull'));
  print('\nA sync with nothing to do');
  line("the server's answer", figures.text('push_idle_pull'));
  if (figures.has('postgres_push_idle_pull')) line('  from PostgreSQL', figures.text('postgres_push_idle_pull'));
  if (noBrowser === '') {
    line('the real app in Chromium', figures.text('chromium idle'));
    line('  requests', figures.text('chromium idle requests'));
  }
  if (noPeers === '') line('PouchDB replication', figures.text('pouchdb idle'));
}

/** @param {string} name @param {string} value */
function line(name, value) {
  print(`  ${name.padEnd(40)} ${value}`);
}

/** @param {string} name @param {{median: number, text: string}} ratio @param {number} least */
function aim(name, ratio, least) {
  line(name, `${ratio.text}; aim at least ${least}: ${ratio.median >= least ? 'reached' : 'MISSED'}`);
}

/** @param {string} name @param {string} measured @param {number} bound */
function most(name, measured, bound) {
  const reached = figures.median(measured) <= bound;
  line(name, `${figures.text(measured)}; aim at most ${bound}: ${reached ? 'reached' : 'MISSED'}`);
}
