/** The stages of a crop or of a cultivar while they are typed. */
import type { Stage } from '../../../../../schema/types';
import type { Answer } from '../../../forms/typed';
import { gateKey, typedGate, type GatePart } from './gates';
import type { Put } from './keptfields';
import {
  gatesInForce,
  isChanged,
  keyOf,
  lengthNames,
  readStage,
  stageNames,
  typedStage,
  type LengthName,
  type ReadStage,
  type StageName,
  type StagesOf,
} from './stages';

export interface StageEdit {
  stages: Record<StageName, ReadStage>;
  typedLength: (stage: StageName, length: LengthName) => string;
  typeLengths: (stage: StageName, texts: { readonly [Name in LengthName]?: string }) => void;
  typedGate: (stage: StageName, part: GatePart) => string;
  typeGate: (stage: StageName, part: GatePart, text: string) => void;
  /** Stages that differ from those in force, null for one that is emptied. */
  stageChanges: { readonly [name: string]: Stage | null };
  /** Every answer, in the order of the fields. */
  stageAnswers: readonly Answer<unknown>[];
}

export function stageEdit(
  of: StagesOf,
  typed: ReadonlyMap<string, string>,
  own: { readonly [Name in StageName]?: Stage },
  put: Put,
): StageEdit {
  const stages = Object.fromEntries(stageNames.map((name) => [name, readStage(of, name, typed, own[name])])) as Record<
    StageName,
    ReadStage
  >;
  const typeLengths = (stage: StageName, texts: { readonly [Name in LengthName]?: string }) =>
    put(
      stage,
      Object.fromEntries(
        lengthNames.flatMap((length) => {
          const text = texts[length];
          if (text === undefined) return [];
          const before = own[stage]?.[length];
          return [[keyOf(stage, length), text === (before === undefined ? '' : String(before)) ? undefined : text]];
        }),
      ),
    );
  return {
    stages,
    typedLength: (stage, length) => typedStage(typed, own[stage], stage)(length),
    typeLengths,
    typedGate: (stage, part) => typedGate(typed, stage, gatesInForce(of, stage, own[stage]))(part),
    typeGate: (stage, part, text) => put(stage, { [gateKey(stage, part)]: text }),
    stageChanges: Object.fromEntries(
      stageNames.flatMap((name) => (isChanged(stages[name], own[name]) ? [[name, stages[name].stage ?? null]] : [])),
    ),
    stageAnswers: stageNames.flatMap((name) => [
      ...Object.values(stages[name].answers),
      ...Object.values(stages[name].gate?.answers ?? {}),
    ]),
  };
}
