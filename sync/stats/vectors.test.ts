import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import * as stats from './index.ts';

interface Vector {
  name: string;
  input: Record<string, never>;
  want: unknown;
}

/** One reckoning for each vector file; a file without one fails, as does a reckoning without a file. */
const reckon: Record<string, (i: Record<string, never>) => unknown> = {
  'chi-square': (i) => stats.chiSquareQuantile(i['p']!, i['df']!),
  normal: (i) => stats.normalCdf(i['x']!),
  'normal-quantile': (i) => stats.normalQuantile(i['p']!),
};

const folder = new URL('../../fixtures/vectors/', import.meta.url);
const names = readdirSync(folder).filter((f) => /^stats-.*\.json$/.test(f));

/** Floats to 1e-9 relative, everything else exactly; only what the vector names is compared. */
function same(have: unknown, want: unknown, where: string): void {
  if (typeof want === 'number' && typeof have === 'number') {
    const room = Number.isInteger(want) && Number.isInteger(have) ? 0 : 1e-9 * Math.abs(want) + 1e-15;
    expect(Math.abs(have - want), `${where}: have ${have}, want ${want}`).toBeLessThanOrEqual(room);
  } else if (want !== null && typeof want === 'object') {
    for (const [key, value] of Object.entries(want)) same((have as Record<string, unknown> | null)?.[key], value, `${where}.${key}`);
  } else {
    expect(have, where).toBe(want);
  }
}

describe('the phone reckons as the vectors say', () => {
  it('has a reckoning for every vector file and a file for every reckoning', () => {
    expect(names.map((n) => n.slice('stats-'.length, -'.json'.length)).sort()).toEqual(Object.keys(reckon).sort());
  });
  for (const file of names) {
    const run = reckon[file.slice('stats-'.length, -'.json'.length)];
    for (const v of JSON.parse(readFileSync(new URL(file, folder), 'utf8')) as Vector[]) {
      it(v.name, () => same(run?.(v.input), v.want, v.name));
    }
  }
});
