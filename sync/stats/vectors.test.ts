import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import * as stats from './index.ts';
import { firstAccept, same } from './testing.ts';

interface Input {
  x: (number | null)[];
  lots: (number | null)[][];
  counts: number[];
  [name: string]: unknown;
}
interface Vector {
  name: string;
  input: Input;
  want: unknown;
}

const num = (i: Input, name: string): number => i[name] as number;

/** One computation for each vector file; a file without one fails, as does a computation without a file. */
const compute: Record<string, (i: Input) => unknown> = {
  'chi-square': (i) => stats.chiSquareQuantile(num(i, 'p'), num(i, 'df')),
  f: (i) => stats.fQuantile(num(i, 'p'), num(i, 'd1'), num(i, 'd2')),
  normal: (i) => stats.normalCdf(num(i, 'x')),
  'normal-quantile': (i) => stats.normalQuantile(num(i, 'p')),
  spread: (i) => stats.spreadOf(i.x, num(i, 'level')),
  uniformity: (i) => stats.uniformityOf(i.x, num(i, 'tolerance'), num(i, 'bed'), num(i, 'level')),
  pooled: (i) => stats.poolWithin(i.lots, num(i, 'level')),
  'joined-uniformity': (i) =>
    stats.joinedUniformity(
      i.lots.map((x, k) => ({ x, tolerance: num(i, 'tolerance'), weight: (i['weights'] as number[])[k] ?? 0 })),
      num(i, 'level'),
    ),
  share: (i) => stats.shareOf(num(i, 'x'), num(i, 'n'), num(i, 'bed'), num(i, 'level')),
  severity: (i) => stats.severityOf(i.counts),
  slips: (i) => ({
    z: stats.robustZ(i.x),
    limit: stats.slipLimit(i.x.length, num(i, 'chance')),
  }),
  sprt: (i) => {
    const s = stats.newSprt(
      num(i, 'p0'),
      num(i, 'p1'),
      num(i, 'alpha'),
      num(i, 'beta'),
      num(i, 'least'),
      num(i, 'most'),
    );
    if (s === null) return null;
    return { ...s, firstAccept: firstAccept(s), call: stats.decide(s, num(i, 'n'), num(i, 'count')) };
  },
};

// The server's own answers to seeded random inputs.
compute['twins'] = (i) => {
  const [tolerance, level, bed, n, count, least] = ['tolerance', 'level', 'bed', 'n', 'count', 'least'].map((k) =>
    num(i, k),
  ) as [number, number, number, number, number, number];
  const plan = stats.newSprt(num(i, 'p0'), num(i, 'p1'), 0.1, 0.05, least, num(i, 'most'));
  if (plan === null) return null;
  const lots = [i.x, i['y'] as (number | null)[]];
  return {
    uniformity: stats.uniformityOf(i.x, tolerance, bed, level),
    pooled: stats.poolWithin(lots, level),
    within: stats.joinedUniformity(
      lots.map((x, k) => ({ x, tolerance, weight: k === 0 ? 3 : 1 })),
      level,
    ),
    share: stats.shareOf(count, n, bed, level),
    severity: stats.severityOf(i.counts),
    call: stats.decide(plan, n, count),
    more: stats.morePots(plan, n, count),
    accept: stats.acceptAt(plan, n),
    reject: stats.rejectAt(plan, n),
  };
};

const folder = new URL('../../fixtures/vectors/', import.meta.url);
const names = readdirSync(folder).filter((f) => /^stats-.*\.json$/.test(f));

describe('the phone computes as the vectors say', () => {
  it('has a computation for every vector file and a file for every computation', () => {
    expect(names.map((n) => n.slice('stats-'.length, -'.json'.length)).sort()).toEqual(Object.keys(compute).sort());
  });
  for (const file of names) {
    const kind = file.slice('stats-'.length, -'.json'.length);
    const vectors = JSON.parse(readFileSync(new URL(file, folder), 'utf8')) as Vector[];
    for (const [at, v] of vectors.entries()) {
      it(`${kind} ${at}: ${v.name}`, () => same(compute[kind]?.(v.input), v.want, kind, 1e-9, 1e-13));
    }
  }
});
