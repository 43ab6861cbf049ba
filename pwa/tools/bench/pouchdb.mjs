/**
 * PouchDB to PouchDB Server (express-pouchdb), LevelDB on both sides: 20 devices push their notes at once, a fresh one
 * pulls them all, and one syncs with nothing to do. LevelDB is used as PouchDB uses it, without a sync to the disk; the push is
 * measured once more against a server whose LevelDB writes with its own option sync: true, which is as durable as ours.
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
const options = { batch_size: BATCH };
/** How many batches this server has written with sync: true. */
let forced = 0;
/** @type {any} */
let made;

if (part === 'server' || part === 'durable') serve(part);
else await measure();

/** PouchDB takes each plugin once. */
function pouch() {
  const PouchDB = load('pouchdb-core');
  made ??= ['leveldb', 'http']
    .reduce((so, name) => so.plugin(load(`pouchdb-adapter-${name}`)), PouchDB)
    .plugin(load('pouchdb-replication'))
    .plugin(load('pouchdb-mapreduce'));
  return made;
}

/** @param {'server' | 'durable'} name */
function serve(name) {
  if (name === 'durable') writesDurably(load('leveldown').prototype);
  const express = load('express');
  const app = express();
  const Served = pouch().defaults({ prefix: `${join(folder, name)}/`, adapter: 'leveldb' });
  const handler = load('express-pouchdb')(Served, {
    mode: 'minimumForPouchDB',
    inMemoryConfig: true,
    logPath: join(folder, 'log.txt'),
  });
  app.use('/', handler);
  const listener = app.listen(0, '127.0.0.1', () => process.send?.(listener.address().port));
  process.on('message', () => process.send?.(forced));
}

/**
 * PouchDB has no setting for it and hands LevelDB its batches without the option: it is added on their way.
 * @param {any} level the prototype of leveldown
 */
function writesDurably(level) {
  const batch = level._batch;
  /** @param {unknown[]} operations @param {object} options @param {unknown} done */
  level._batch = function (operations, options, done) {
    forced++;
    return batch.call(this, operations, { ...options, sync: true }, done);
  };
}

async function measure() {
  const notes = readNotes(file);
  await beside('server', async (url) => {
    const remote = await push(notes, url, 'pouchdb push');
    await rest(notes, url, remote);
  });
  await beside('durable', (url) => push(notes, url, 'pouchdb durable push'));
}

/**
 * @param {'server' | 'durable'} name
 * @param {(url: string) => Promise<unknown>} does
 */
async function beside(name, does) {
  mkdirSync(join(folder, name), { recursive: true });
  const server = fork(fileURLToPath(import.meta.url), [file, folder, name], {
    stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
  });
  try {
    const port = await new Promise((done) => server.once('message', done));
    await does(`http://127.0.0.1:${port}`);
    const batches = await new Promise((done) => server.once('message', done) && server.send('how many'));
    if (name === 'durable' && batches === 0) throw new Error('PouchDB Server wrote no batch with sync: true');
  } finally {
    server.kill('SIGKILL');
  }
}

/** @param {string} name */
function local(name) {
  return new (pouch())(join(folder, name), { adapter: 'leveldb' });
}

/**
 * All devices push at once.
 * @param {import('./notes.mjs').Stamped[]} notes
 * @param {string} url
 * @param {string} name of the figure, and of the devices' folders
 */
async function push(notes, url, name) {
  const phones = await Promise.all(
    [...groupedBy(notes, ({ entry }) => entry.device)].map(async ([device, own]) => {
      const phone = local(`${name} ${device}`);
      await phone.bulkDocs(own.map(docOf));
      return phone;
    }),
  );
  const remote = new (pouch())(`${url}/notes`);
  await remote.info();
  const took = await seconds(() => Promise.all(phones.map((phone) => phone.replicate.to(remote, options))));
  await all(remote, notes.length);
  figure(name, 'notes/s', notes.length / took);
  return { remote, phone: phones[0] };
}

/**
 * @param {import('./notes.mjs').Stamped[]} notes
 * @param {string} url
 * @param {{remote: any, phone: any}} pushed
 */
async function rest(notes, url, { remote, phone }) {
  figure('pouchdb idle', 'ms', 1000 * (await seconds(() => phone.replicate.to(remote, options))));
  const fresh = local('fresh');
  const pull = await seconds(() => fresh.replicate.from(remote, options));
  await all(fresh, notes.length);
  figure('pouchdb pull', 'notes/s', notes.length / pull);
  await bulk(new (pouch())(`${url}/bulk`), notes);
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
