import { describe, expect, it } from 'vitest';
import { defaultJudged } from '../../schema/limits.ts';
import type { Application, BedInput, BedScore, Judged, Profile } from '../../schema/types.ts';
import { differences, vectorFiles } from '../vectors.testing.ts';
import { closedUntil, howMany, judgedFrom, judgedFromFields, makePlan, scoreBed, slipOf } from './bed.ts';
import { Rand } from './rand.ts';

/** Reckoned at the server alone, and so read by the Go side alone. */
const serverOnly = ['agree', 'grade', 'promise'];

const reckon: Record<string, (input: never) => unknown> = {
  score: (i: BedInput) => scoreBed(i),
  plan: (i: { bed: BedInput; seed: number; n: number }) => makePlan(i.bed, i.seed, i.n),
  howmany: (i: { bed: BedInput; last?: BedScore }) => ({ n: howMany(i.bed, i.last ?? null) }),
  slip: (i: { bed: BedInput; lot: string; trait: 'head' | 'buds'; value: number }) => ({
    slip: slipOf(i.bed, i.lot, i.trait, i.value),
  }),
  closed: (i: { applications: Application[]; bed: string }) => ({ until: closedUntil(i.applications, i.bed) }),
  judged: (i: { profile: Profile; base: Judged }) => ({ judged: judgedFrom(i.profile, i.base) }),
  rand: (i: { seed: number; n: number }) => {
    const random = new Rand(i.seed);
    return i.n === 0
      ? { next: Array.from({ length: 4 }, () => random.next()) }
      : { below: Array.from({ length: 6 }, () => random.below(i.n)) };
  },
};

describe('a bed comes out as the vectors say', () => {
  const files = vectorFiles('bed-').filter(([name]) => !serverOnly.includes(name));
  it('with a reckoning for every file', () => {
    expect(files.map(([name]) => name).sort()).toEqual(Object.keys(reckon).sort());
  });
  for (const [file, vectors] of files) {
    it.each(vectors.map((v) => [v.name, v] as const))(`${file}: %s`, (name, v) => {
      expect(differences(reckon[file]?.(v.input as never), v.want, name)).toEqual([]);
    });
  }
});

it('a folded profile is judged by its shown values', () => {
  const base = defaultJudged;
  const judged = judgedFromFields(
    { max_pots: { value: 40 }, crop: { value: 'azalea' }, min_pots: { value: null } },
    base,
  );
  expect(judged).toEqual({ ...base, max_pots: 40 });
});
