/**
 * Reads fixtures/vectors for the twins' tests. A file, a case or a member that a test does not know fails, so that no
 * vector is passed over in silence.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

export interface Vector {
  name: string;
  input: Record<string, unknown>;
  want: Record<string, unknown>;
}

const folder = join(import.meta.dirname, '../../fixtures/vectors');

/** The files of one prefix, each of which must be among those that the caller reads. */
export function vectorFiles(prefix: string): string[] {
  return readdirSync(folder).filter((file) => file.startsWith(`${prefix}-`));
}

/** The cases of one file, whose inputs and wants may have the members named and no others. */
export function readVectors(file: string, input: readonly string[], want: readonly string[]): Vector[] {
  const cases = JSON.parse(readFileSync(join(folder, file), 'utf8')) as Vector[];
  if (!Array.isArray(cases) || cases.length === 0) throw new Error(`${file} holds no case`);
  for (const one of cases) {
    only(one, ['name', 'input', 'want'], file);
    only(one.input, input, `${file}, ${one.name}, input`);
    only(one.want, want, `${file}, ${one.name}, want`);
  }
  return cases;
}

function only(value: object, known: readonly string[], where: string): void {
  const strange = Object.keys(value).filter((key) => !known.includes(key));
  if (strange.length > 0) throw new Error(`${where}: no test reads ${strange.join(', ')}`);
}
