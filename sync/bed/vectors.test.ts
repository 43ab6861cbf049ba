import { describe, expect, it } from 'vitest';
import { defaultJudged } from '../../schema/kinds.ts';
import type {
  Application,
  BedInput,
  BedScore,
  GradeOut,
  Judged,
  LotOnBed,
  PastWalk,
  PotRecord,
  Profile,
  Stop,
  WalkPart,
} from '../../schema/types.ts';
import { differences, vectorFiles } from '../vectors.testing.ts';
import { closedUntil, gradePots, howMany, judgedFrom, judgedFromFields, makePlan, scoreBed, slipOf } from './bed.ts';
import { cropKey } from './crop.ts';
import { dueOf, isWhole, unfinishedOf } from './due.ts';
import { bedInput, type BedRecords } from './input.ts';
import { gradedFrom, isEarly } from './grade.ts';
import { Rand } from './rand.ts';
import { unwalkedOf } from './unwalked.ts';

/** Computed at the server alone, and so read by the Go side alone; of grade the part that is counted is read below. */
const serverOnly = ['agree', 'grade', 'promise'];

const compute: Record<string, (input: never) => unknown> = {
  score: (i: BedInput) => scoreBed(i),
  plan: (i: { bed: BedInput; seed: number; n: number }) => makePlan(i.bed, i.seed, i.n),
  howmany: (i: { bed: BedInput; last?: BedScore }) => ({ n: howMany(i.bed, i.last ?? null) }),
  slip: (i: { bed: BedInput; lot: string; trait: 'head' | 'buds'; value: number }) => ({
    slip: slipOf(i.bed, i.lot, i.trait, i.value),
  }),
  unwalked: (i: BedInput) => ({ unwalked: unwalkedOf(i) }),
  closed: (i: { applications: Application[]; bed: string }) => ({ until: closedUntil(i.applications, i.bed) }),
  judged: (i: { profile: Profile; base: Judged }) => ({ judged: judgedFrom(i.profile, i.base) }),
  crop: (i: { crop: string }) => ({ key: cropKey(i.crop) }),
  due: (i: { walks: PastWalk[]; every: number[] }) => dueOf(i.walks, i.every),
  whole: (i: { walk: WalkPart; pots: number }) => ({ whole: isWhole(i.walk, i.pots) }),
  unfinished: (i: { walk: WalkPart; pots: number; stop: Stop }) => ({
    unfinished: unfinishedOf(i.walk, i.pots, i.stop),
  }),
  input: (i: { records: BedRecords; pots: PotRecord[]; newest: boolean }) => bedInput(i.records, i.pots, i.newest),
  rand: (i: { seed: number; n: number }) => {
    const random = new Rand(i.seed);
    return i.n === 0
      ? { next: Array.from({ length: 4 }, () => random.next()) }
      : { below: Array.from({ length: 6 }, () => random.below(i.n)) };
  },
};

describe('a bed comes out as the vectors say', () => {
  const files = vectorFiles('bed-').filter(([name]) => !serverOnly.includes(name));
  it('with a computation for every file', () => {
    expect(files.map(([name]) => name).sort()).toEqual(Object.keys(compute).sort());
  });
  for (const [file, vectors] of files) {
    it.each(vectors.map((v) => [v.name, v] as const))(`${file}: %s`, (name, v) => {
      expect(differences(compute[file]?.(v.input as never), v.want, name)).toEqual([]);
    });
  }
});

describe('pots that were seen fall into the grades that the server counts them in', () => {
  const [, vectors = []] = vectorFiles('bed-').find(([name]) => name === 'grade') ?? [];
  // One is of the number that is safe to promise alone.
  const counted = ['n', 'undecided', 'lacks', 'grades', 'costs'];
  const early = vectors.filter((v) => 'graded_from' in ((v.want as Partial<GradeOut> | null)?.promise ?? {}));
  it.each(early.map((v) => [v.name, v] as const))('when they can be graded: %s', (_, v) => {
    const { lots, pots } = v.input as BedInput;
    const [lot] = lots as [LotOnBed];
    const weeks = lot.judged.graded_from_weeks;
    const { promise } = v.want as GradeOut;
    expect(gradedFrom(lot.ship_week, weeks)).toBe(promise.graded_from);
    const last = Math.max(...pots.map((pot) => pot.at));
    expect(isEarly(last, lot.ship_week, weeks)).toBe(promise.hold === 'early');
    expect(isEarly(last, undefined, weeks)).toBe(false);
  });
  const graded = vectors.filter(
    (v) => v.want !== null && !early.includes(v) && counted.some((part) => part in (v.want as object)),
  );
  it.each(graded.map((v) => [v.name, v] as const))('%s', (name, v) => {
    const input = v.input as BedInput;
    const lot = input.lots[0] as LotOnBed;
    const pots = input.pots.map((pot) => pot.now).filter((pot) => pot.lot === lot.lot);
    const rules = lot.judged.grades.filter((grade) => grade.pot_mm === lot.pot_mm);
    const have = gradePots(rules, pots);
    const { n, undecided, lacks, costs, grades } = v.want as Partial<GradeOut>;
    const want = { n, undecided, lacks, costs, seen: grades?.map((grade) => grade.seen) };
    const named = Object.entries(want).filter(([, value]) => value !== undefined);
    expect(differences(have, Object.fromEntries(named), name)).toEqual([]);
  });
  it('where the vectors hold any', () => {
    expect(graded.length).toBeGreaterThan(3);
    expect(early.length).toBeGreaterThan(1);
  });
});

it('a folded profile is judged by its shown values', () => {
  const base = defaultJudged;
  const judged = judgedFromFields(
    { max_pots: { value: 40 }, crop: { value: 'azalea' }, min_pots: { value: null } },
    base,
  );
  expect(judged).toEqual({ ...base, max_pots: 40 });
});
