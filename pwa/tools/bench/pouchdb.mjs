/**
 * PouchDB to PouchDB Server (express-pouchdb), LevelDB on both sides: 20 devices push their notes at once, a fresh one
 * pulls them all, and one syncs with nothing to do. LevelDB is used as PouchDB uses it, without a sync to the disk.
 *
 *     node pwa/tools/bench/pouchdb.mjs NOTES FOLDER
 */
import { fork } from 'node:child_process';
import { mkdirSync, readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { content, figure, groupedBy, inBatches, readNotes, seconds } from './notes.mjs';
import { load } from './peers.mjs';

const [file = '', folder = '', part = 'client'] = process.argv.slice(2);
const BATCH = 500;

if (part === 'server') serve();
else await measure();

function pouch() {
  const PouchDB = load('pouchdb-core');
  return ['leveldb', 'http']
    .reduce((made, name) => made.plugin(load(`pouchdb-adapter-${name}`)), PouchDB)
    .plugin(load('pouchdb-replication'))
    .plugin(load('pouchdb-mapreduce'));
}

function serve() {
  const express = load('express');
  const app = express();
  const Served = pouch().defaults({ prefix: `${join(folder, 'server')}/`, adapter: 'leveldb' });
  const handler = load('express-pouchdb')(Served, {
    mode: 'minimumForPouchDB',
    inMemoryConfig: true,
    logPath: join(folder, 'log.txt'),
  });
  app.use('/', handler);
  const listener = app.listen(0, '127.0.0.1', () => process.send?.(listener.address().port));
}

async function measure() {
  mkdirSync(join(folder, 'server'), { recursive: true });
  const server = fork(fileURLToPath(import.meta.url), [file, folder, 'server'], {
    stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
  });
  try {
    const port = await new Promise((done) => server.once('message', done));
    await against(`http://127.0.0.1:${port}`);
  } finally {
    server.kill('SIGKILL');
  }
}

/** @param {string} url */
async function against(url) {
  const PouchDB = pouch();
  const notes = readNotes(file);
  /** @param {string} name */
  const local = (name) => new PouchDB(join(folder, name), { adapter: 'leveldb' });
  const phones = await Promise.all(
    [...groupedBy(notes, ({ entry }) => entry.device)].map(async ([device, own]) => {
      const phone = local(device);
      await phone.bulkDocs(own.map(docOf));
      return phone;
    }),
  );
  const remote = new PouchDB(`${url}/notes`);
  await remote.info();
  const options = { batch_size: BATCH };
  const push = await seconds(() => Promise.all(phones.map((phone) => phone.replicate.to(remote, options))));
  await all(remote, notes.length);
  figure('pouchdb push', 'notes/s', notes.length / push);
  figure('pouchdb idle', 'ms', 1000 * (await seconds(() => phones[0].replicate.to(remote, options))));
  const fresh = local('fresh');
  const pull = await seconds(() => fresh.replicate.from(remote, options));
  await all(fresh, notes.length);
  figure('pouchdb pull', 'notes/s', notes.length / pull);
  await bulk(new PouchDB(`${url}/bulk`), notes);
  figure('pouchdb rest', 'bytes/note', sizeOf(join(folder, 'server', 'notes')) / notes.length);
}

/**
 * The server's fastest way in, which no replication takes: whole batches, nothing asked before.
 * @param {any} remote
 * @param {import('./notes.mjs').Stamped[]} notes
 */
async function bulk(remote, notes) {
  await remote.info();
  const devices = [...groupedBy(notes, ({ entry }) => entry.device).values()];
  const took = await seconds(() =>
    Promise.all(
      devices.map(async (own) => {
        for (const batch of inBatches(own.map(docOf), BATCH)) await remote.bulkDocs(batch);
      }),
    ),
  );
  await all(remote, notes.length);
  figure('pouchdb bulk', 'notes/s', notes.length / took);
}

/**
 * @param {any} db
 * @param {number} notes
 */
async function all(db, notes) {
  const { doc_count: count } = await db.info();
  if (count !== notes) throw new Error(`PouchDB has ${count} of ${notes} notes`);
}

/** @param {import('./notes.mjs').Stamped} note */
function docOf(note) {
  return { _id: note.entry.id, ...content(note) };
}

/**
 * @param {string} path
 * @returns {number} bytes in all files
 */
function sizeOf(path) {
  return readdirSync(path, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .reduce((sum, entry) => sum + statSync(join(entry.parentPath, entry.name)).size, 0);
}
