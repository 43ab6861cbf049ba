import { readdirSync, readFileSync } from 'node:fs';

/** One vector: what goes in, and what of the answer is compared. `source` says where the wanted values come from. */
export interface Vector {
  name: string;
  source?: string;
  input: unknown;
  want: unknown;
}

const folder = new URL('../fixtures/vectors/', import.meta.url);

/** The vector files of one kind (`bed-`, `unit-`), by the rest of their name. */
export function vectorFiles(kind: string): [string, Vector[]][] {
  return readdirSync(folder)
    .filter((file) => file.startsWith(kind) && file.endsWith('.json'))
    .map((file) => [
      file.slice(kind.length, -'.json'.length),
      JSON.parse(readFileSync(new URL(file, folder), 'utf8')) as Vector[],
    ]);
}

/** Where an answer parts from what is wanted: floats to 1e-9 relative, all else exactly; fields not wanted are not compared. */
export function differences(have: unknown, want: unknown, where: string): string[] {
  if (typeof want === 'number' && typeof have === 'number') {
    const room = Number.isInteger(want) && Number.isInteger(have) ? 0 : 1e-9 * Math.abs(want) + 1e-14;
    return Math.abs(have - want) <= room ? [] : [`${where}: have ${have}, want ${want}`];
  }
  if (Array.isArray(want) && Array.isArray(have) && want.length !== have.length) {
    return [`${where}: have ${have.length}, want ${want.length}`];
  }
  if (want !== null && typeof want === 'object' && have !== null && typeof have === 'object') {
    return Object.entries(want).flatMap(([key, value]) =>
      differences((have as Record<string, unknown>)[key], value, `${where}.${key}`),
    );
  }
  return have === want ? [] : [`${where}: have ${JSON.stringify(have)}, want ${JSON.stringify(want)}`];
}
