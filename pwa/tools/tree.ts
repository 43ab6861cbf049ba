/** The files of the repo as git sees them, for the tests that judge the tree itself. */
import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { root } from './steps.mjs';

/** Lists tracked and new files that are not ignored; the specs are git's own. */
export function filesOf(...specs: string[]): string[] {
  const args = ['ls-files', '-z', '--cached', '--others', '--exclude-standard', '--', ...specs];
  const listed = execFileSync('git', args, { cwd: root, encoding: 'utf8' }).split('\0');
  // A file that was just deleted stays in the index until the next commit.
  return listed.filter((file) => file !== '' && existsSync(join(root, file)));
}

export function textOf(file: string): string {
  return readFileSync(join(root, file), 'utf8');
}
