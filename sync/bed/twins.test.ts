import { execFileSync } from 'node:child_process';
import { expect, it } from 'vitest';
import type { BedInput, BedScore, Due, PastWalk, Plan, PotRecord, Slip } from '../../schema/types.ts';
import { howMany, makePlan, scoreBed, slipOf } from './bed.ts';
import { dueOf } from './due.ts';
import { bedInput, type BedRecords } from './input.ts';
import { differences } from '../vectors.testing.ts';

interface Case {
  input: BedInput;
  seed: number;
  n: number;
  lot: string;
  value: number;
  score: BedScore;
  plan: Plan;
  how_many: number;
  again: number;
  slip: Slip | null;
  records: BedRecords;
  pots: PotRecord[];
  newest: boolean;
  put: BedInput;
  walks: PastWalk[];
  every: number[];
  due: Due;
}

// BEDWALK_SEED=7 npx vitest run sync/bed/twins.test.ts looks at other beds.
const seed = process.env['BEDWALK_SEED'] ?? '1';

it('the phone and the server compute the same of random beds', () => {
  const out = execFileSync('go', ['run', './fixtures/twins/bed', '-seed', seed, '-beds', '300'], {
    cwd: new URL('../..', import.meta.url),
    encoding: 'utf8',
    maxBuffer: 1 << 28,
  });
  const cases = out
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line) as Case);
  expect(cases).toHaveLength(300);
  for (const [i, c] of cases.entries()) {
    const have = {
      score: scoreBed(c.input),
      plan: makePlan(c.input, c.seed, c.n),
      how_many: howMany(c.input, null),
      again: howMany(c.input, c.score),
      slip: slipOf(c.input, c.lot, 'head', c.value),
      put: bedInput(c.records, c.pots, c.newest),
      due: dueOf(c.walks, c.every),
    };
    const want = {
      score: c.score,
      plan: c.plan,
      how_many: c.how_many,
      again: c.again,
      slip: c.slip,
      put: c.put,
      due: c.due,
    };
    expect(differences(have, want, `seed ${seed}, bed ${i}`)).toEqual([]);
    expect(differences(want, have, `seed ${seed}, bed ${i}, the other way`)).toEqual([]);
  }
}, 120_000);
