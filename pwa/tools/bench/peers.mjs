/**
 * The peers that the sync bench measures beside Bedwalk, and the tool that the phone bench asks. They are no dependencies
 * of the project: on demand they are installed, at these versions, into bin/peers, which git ignores.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { root } from '../steps.mjs';

const folder = join(root, 'bin', 'peers');

/** Each group is measured by one script; a group of which a package cannot be installed is left out, with the reason. */
export const versions = {
  'pouchdb-core': '9.0.0',
  'pouchdb-adapter-leveldb': '9.0.0',
  'pouchdb-adapter-http': '9.0.0',
  'pouchdb-replication': '9.0.0',
  'pouchdb-mapreduce': '9.0.0',
  express: '4.21.2',
  'express-pouchdb': '4.2.0',
  yjs: '13.6.33',
  'loro-crdt': '1.17.1',
  '@automerge/automerge': '3.5.0',
};

/** Loads a peer's CommonJS side from bin/peers. */
export const load = createRequire(join(folder, 'package.json'));

/** @returns {string} why there are no peers, '' when all are there */
export function installPeers() {
  return install(folder, versions);
}

/** The last Lighthouse that runs on Node 20. */
const lighthouse = { lighthouse: '12.8.2' };
const lighthouseFolder = join(folder, 'lighthouse');
/** What Node runs as Lighthouse's command line. */
export const lighthouseCommand = join(lighthouseFolder, 'node_modules', 'lighthouse', 'cli', 'index.js');

/** @returns {string} why there is no Lighthouse, '' when it is there */
export function installLighthouse() {
  return install(lighthouseFolder, lighthouse);
}

/**
 * Installs what is missing, into a folder of its own.
 * @param {string} into
 * @param {Record<string, string>} wanted package and exact version
 * @returns {string} why it could not be, '' when all is there
 */
function install(into, wanted) {
  if (Object.entries(wanted).every(([name, version]) => installed(into, name) === version)) return '';
  mkdirSync(into, { recursive: true });
  const manifest = { private: true, description: 'Peers of the benches, no part of Bedwalk', dependencies: wanted };
  writeFileSync(join(into, 'package.json'), `${JSON.stringify(manifest, null, 2)}\n`);
  const { status, stderr, error } = spawnSync('npm', ['install', '--no-audit', '--no-fund', '--loglevel=error'], {
    cwd: into,
    encoding: 'utf8',
    shell: process.platform === 'win32',
  });
  if (status === 0) return '';
  return (error?.message ?? stderr.trim().split('\n').slice(0, 3).join(' ')) || `npm ended with ${status}`;
}

/** @param {string} into @param {string} name */
function installed(into, name) {
  const manifest = join(into, 'node_modules', name, 'package.json');
  return existsSync(manifest) ? JSON.parse(readFileSync(manifest, 'utf8')).version : undefined;
}
