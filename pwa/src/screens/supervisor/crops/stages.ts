/** How long the stages of a crop take: as three numbers are typed for each, and what is wrong with them. */
import { cropStarts } from '../../../../../schema/starts';
import type { Gate, Profile, Stage, StartStage } from '../../../../../schema/types';
import { cropKey } from '../../../../../sync/bed/crop';
import { profileOf } from '../../../journal/records/input';
import { supervisorWords } from '../../../words/supervisor';
import { amount, type Answer } from '../../../forms/typed';
import { readGate, type ReadGate } from './gates';

/** In the order in which a lot goes through them (schema.StageNames). */
export const stageNames = [
  'root',
  'liner',
  'small_pot',
  'finished_pot',
  'grow_out',
  'bud_set',
  'cold',
  'forcing',
] as const satisfies readonly (keyof Profile)[];

export type StageName = (typeof stageNames)[number];

export const lengthNames = ['shortest_days', 'likely_days', 'longest_days'] as const satisfies readonly (keyof Stage)[];

export type LengthName = (typeof lengthNames)[number];

/** Where one of a stage's numbers is kept while it is typed. */
export function keyOf(stage: StageName, length: LengthName): string {
  return `${stage}.${length}`;
}

export interface ReadStage {
  answers: Record<LengthName, Answer<number>>;
  /** The gate that was typed, if one was. */
  gate?: ReadGate | undefined;
  /** Undefined where the numbers make no stage; null where all are empty. */
  stage?: Stage | null;
}

/** Whose stages are typed, and what holds where nobody typed one. */
export interface StagesOf {
  kind: 'profile' | 'cultivar';
  base: (name: StageName) => Stage | undefined;
}

/** A crop's stages, which count before those that Bedwalk starts with. */
export function stagesOfCrop(crop: string): StagesOf {
  return { kind: 'profile', base: (name) => startOf(crop, name)?.stage };
}

/** A cultivar's stages, which count before its crop's. */
export function stagesOfCultivar(crop: string): StagesOf {
  return {
    kind: 'cultivar',
    base: (name) => {
      const own = profileOf(crop)?.[name];
      const start = startOf(crop, name)?.stage;
      return own ? { ...own, gates: [...gatesInForce(stagesOfCrop(crop), name, own)] } : start;
    },
  };
}

/** The stage that Bedwalk starts with (crop.startOf on the server); nothing for a crop that it does not know. */
export function startOf(crop: string, name: StageName): StartStage | undefined {
  const key = cropKey(crop);
  return cropStarts
    .find(({ words }) => words.some((word) => key.includes(word)))
    ?.stages.find((stage) => stage.name === name);
}

/** The stages that a crop goes through, by its own or those that Bedwalk starts with. */
export function stagesGone(crop: string, own: Partial<Profile> | undefined): StageName[] {
  return stageNames.filter((name) => own?.[name] || startOf(crop, name));
}

/** A crop's list of a line a stage as it is typed, with the lines of stages that it no longer goes through kept, and whether that is another. */
export function listOfStages<Line extends { stage: string }>(
  typed: readonly Line[],
  before: readonly Line[],
  stages: readonly StageName[],
): { all: Line[]; isChanged: boolean } {
  const all = [...typed, ...before.filter(({ stage }) => !(stages as readonly string[]).includes(stage))];
  const plain = (lines: readonly Line[]) => JSON.stringify(lines.map((line) => Object.entries(line).sort()).sort());
  return { all, isChanged: plain(all) !== plain(before) };
}

/** What must be seen before a stage ends: one's own where it is written, else what holds without. */
export function gatesInForce(of: StagesOf, name: StageName, own: Stage | undefined): readonly Gate[] {
  return own?.gates ?? of.base(name)?.gates ?? [];
}

export function typedStage(typed: ReadonlyMap<string, string>, own: Stage | undefined, stage: StageName) {
  return (length: LengthName) => typed.get(keyOf(stage, length)) ?? (own ? String(own[length]) : '');
}

/** Reads one stage: all three numbers in order, or none. */
export function readStage(
  of: StagesOf,
  name: StageName,
  typed: ReadonlyMap<string, string>,
  own: Stage | undefined,
): ReadStage {
  const words = supervisorWords.value.plan;
  const at = typedStage(typed, own, name);
  const read = (length: LengthName): Answer<number> =>
    amount(at(length), {
      kind: of.kind,
      field: `${name}.${length}`,
      name: lengthLabel(name, length),
      measure: 'count',
    });
  const answers = {
    shortest_days: read('shortest_days'),
    likely_days: read('likely_days'),
    longest_days: read('longest_days'),
  };
  const gate = readGate(typed, name, gatesInForce(of, name, own));
  const all = lengthNames.map((length) => answers[length]);
  if (all.some(({ problem }) => problem !== undefined)) return { answers, gate };
  const [shortest, likely, longest] = all.map(({ value }) => value);
  if (!gate && shortest === undefined && likely === undefined && longest === undefined) return { answers, stage: null };
  const label = words.stage[name];
  if (shortest === undefined || likely === undefined || longest === undefined) {
    const empty = lengthNames.find((length) => answers[length].value === undefined) ?? 'longest_days';
    const isBare = shortest === undefined && likely === undefined && longest === undefined;
    const problem = isBare ? words.gateDays(label) : words.allThree(label);
    return { answers: { ...answers, [empty]: { problem } }, gate };
  }
  if (shortest > likely || likely > longest) {
    const wrong = shortest > likely ? 'likely_days' : 'longest_days';
    return { answers: { ...answers, [wrong]: { problem: words.order(label) } }, gate };
  }
  // What is not typed here stays as it was: the pot of the stage, its route, whether people end it. A cultivar leaves that to its crop.
  const base = of.base(name);
  const rest = own ?? (base ? (of.kind === 'cultivar' ? {} : base) : { hands: name !== 'forcing' });
  if (gate && !gate.gates) return { answers, gate };
  const stage = { ...rest, shortest_days: shortest, likely_days: likely, longest_days: longest };
  return { answers, gate, stage: gate?.gates ? { ...stage, gates: gate.gates } : stage };
}

export function lengthLabel(stage: StageName, length: LengthName): string {
  const words = supervisorWords.value.plan;
  const which = { shortest_days: words.quickest, likely_days: words.middle, longest_days: words.slowest }[length];
  return words.ofTen(words.stage[stage], which);
}

/** True where the numbers, or what must be seen, differ from those in force. */
export function isChanged(read: ReadStage, own: Stage | undefined): boolean {
  if (read.stage === undefined) return true;
  if (read.stage === null || own === undefined) return read.stage !== (own ?? null);
  if (JSON.stringify(read.stage.gates) !== JSON.stringify(own.gates)) return true;
  return lengthNames.some((length) => read.stage?.[length] !== own[length]);
}
