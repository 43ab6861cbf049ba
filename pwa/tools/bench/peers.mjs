/**
 * The peers that the sync bench measures beside Bedwalk. They are no dependencies of the project: on demand they are
 * installed, at these versions, into bin/peers, which git ignores.
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

/**
 * Installs what is missing.
 * @returns {string} why there are no peers, '' when all are there
 */
export function installPeers() {
  if (Object.entries(versions).every(([name, version]) => installed(name) === version)) return '';
  mkdirSync(folder, { recursive: true });
  const wanted = { private: true, description: 'Peers of the sync bench, no part of Bedwalk', dependencies: versions };
  writeFileSync(join(folder, 'package.json'), `${JSON.stringify(wanted, null, 2)}\n`);
  const { status, stderr, error } = spawnSync('npm', ['install', '--no-audit', '--no-fund', '--loglevel=error'], {
    cwd: folder,
    encoding: 'utf8',
    shell: process.platform === 'win32',
  });
  if (status === 0) return '';
  return (error?.message ?? stderr.trim().split('\n').slice(0, 3).join(' ')) || `npm ended with ${status}`;
}

/** @param {string} name */
function installed(name) {
  const manifest = join(folder, 'node_modules', name, 'package.json');
  return existsSync(manifest) ? JSON.parse(readFileSync(manifest, 'utf8')).version : undefined;
}
