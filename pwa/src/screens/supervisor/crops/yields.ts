/** How many come through each stage: as it is typed for a crop, and what holds of a lot. */
import type { StageYield } from '../../../../../schema/types';
import { countedDiffer, writtenDiffer, type Through } from '../../../../../sync/crop/yields';
import { supervisorWords } from '../../../words/supervisor';
import { amount, shownAmount, type Answer, type Measure } from '../../../forms/typed';
import { listOfStages, type StageName } from './stages';

const measures = { share_bp: 'percent', plants_each: 'count' } as const satisfies {
  [part in keyof StageYield]?: Measure;
};

export type YieldPart = keyof typeof measures;

/** Stages that begin with plants being put into pots. */
const intoPots: readonly string[] = ['liner', 'small_pot', 'finished_pot'] satisfies StageName[];

export function beginsWithPots(stage: string): boolean {
  return intoPots.includes(stage);
}

/** Where one of a stage's numbers is kept while it is typed. */
export function yieldKey(stage: StageName, part: YieldPart): string {
  return `yields.${stage}.${part}`;
}

export function typedYield(typed: ReadonlyMap<string, string>, own: readonly StageYield[]) {
  return (stage: StageName, part: YieldPart): string => {
    const value = own.find((each) => each.stage === stage)?.[part];
    return typed.get(yieldKey(stage, part)) ?? shownAmount(value, measures[part]);
  };
}

export interface ReadYields {
  answers: ReadonlyMap<string, Answer<number>>;
  /** As they will be in force, those of stages that the crop no longer has kept. */
  yields: StageYield[];
  isChanged: boolean;
}

/** Reads what was typed of these stages. */
export function readYields(
  typed: ReadonlyMap<string, string>,
  own: readonly StageYield[],
  stages: readonly StageName[],
): ReadYields {
  const words = supervisorWords.value;
  const at = typedYield(typed, own);
  const answers = new Map<string, Answer<number>>();
  const read = (stage: StageName, part: YieldPart) => {
    const answer = amount(at(stage, part), {
      kind: 'profile',
      field: `yields[].${part}`,
      name: words.crops.yields.spoken(words.plan.stage[stage], words.crops.yields[part]),
      measure: measures[part],
    });
    answers.set(yieldKey(stage, part), answer);
    return answer.value === undefined ? {} : { [part]: answer.value };
  };
  const fresh = stages.map((stage): StageYield => ({
    stage,
    ...read(stage, 'share_bp'),
    ...(beginsWithPots(stage) ? read(stage, 'plants_each') : {}),
  }));
  const written = fresh.filter((each) => Object.keys(each).length > 1);
  const { all, isChanged } = listOfStages(written, own, stages);
  const isWrong = [...answers.values()].some(({ problem }) => problem !== undefined);
  return { answers, yields: all, isChanged: isWrong || isChanged };
}

export interface StageThrough extends Through {
  stage: string;
  /** False where nobody wrote how many come through: all do, as far as anybody knows. */
  isWritten: boolean;
}

/** What is known of the cuttings that root: what was written of the cultivar, or counted in the lot among so many. */
export interface RootShare {
  share: number;
  looked?: number;
}

/**
 * What comes through each of some stages.
 * @param begun the stage that is under way already, whose plants are in their pots
 */
export function throughStages(
  stages: readonly string[],
  yields: readonly StageYield[],
  root: RootShare | undefined,
  begun?: string,
): StageThrough[] {
  return stages.map((stage) => {
    const own = yields.find((each) => each.stage === stage);
    const share = (stage === 'root' && root?.share) || (own?.share_bp && own.share_bp / 10_000);
    const looked = stage === 'root' ? root?.looked : undefined;
    return {
      stage,
      share: share ?? 1,
      differ: share === undefined ? 0 : looked === undefined ? writtenDiffer(share) : countedDiffer(looked),
      isWritten: share !== undefined,
      plantsEach: stage === begun ? undefined : own?.plants_each,
    };
  });
}
