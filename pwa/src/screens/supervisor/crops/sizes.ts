/** Where the stages of a crop differ by pot size, while that is being changed: as texts, in the person's units. */
import { limitOf } from '../../../../../schema/check';
import type { Profile, SizedStage, StageYield } from '../../../../../schema/types';
import type { Units } from '../../../words';
import { potSize } from '../../../words/entry';
import { length } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { amount, shownAmount, withSign, type Answer, type Measure } from '../../../forms/typed';
import { lengthInUnit } from './cropgrades';
import { gateKey, gateLines, noGate, readGate, typedGate, type GatePart } from './gates';
import { lengthLabel, lengthNames, type StageName } from './stages';
import { beginsWithPots } from './yields';

const sizeParts = {
  shortest_days: 'count',
  likely_days: 'count',
  longest_days: 'count',
  share_bp: 'percent',
  plants_each: 'count',
  labour_s: 'count',
  material_c: 'money',
  pots_m2_c: 'money',
} as const satisfies { [part in keyof SizedStage]?: Measure };

export type SizePart = keyof typeof sizeParts;
const partNames = Object.keys(sizeParts) as SizePart[];

export interface SizeDraft {
  stage: StageName;
  pot: number;
  texts: { readonly [part in SizePart]: string };
  gate: { readonly [part in GatePart]: string };
  /** The line as it was before: a head in inches must not come back rounded where nobody touched it. */
  was?: SizedStage;
}

export function sizeKey({ stage, pot }: Pick<SizeDraft, 'stage' | 'pot'>): string {
  return `${stage} ${pot}`;
}

/** The parts that a stage has: only some begin with plants being put into pots. */
export function partsOf(stage: StageName): SizePart[] {
  return partNames.filter((part) => part !== 'plants_each' || beginsWithPots(stage));
}

export function newSize(stage: StageName, pot: number): SizeDraft {
  return draftOf({ stage, pot_mm: pot });
}

function draftOf(line: SizedStage): SizeDraft {
  const stage = line.stage as StageName;
  const at = typedGate(new Map(), stage, line.gates ?? []);
  return {
    stage,
    pot: line.pot_mm,
    texts: Object.fromEntries(partNames.map((part) => [part, shownAmount(line[part], sizeParts[part])])) as Record<
      SizePart,
      string
    >,
    gate: {
      line: line.gates?.length === 0 ? noGate : at('line'),
      at_least: at('at_least'),
      share_bp: at('share_bp'),
    },
    was: line,
  };
}

export function sizeDrafts(lines: readonly SizedStage[], stages: readonly StageName[]): SizeDraft[] {
  return lines.map(draftOf).sort((a, b) => a.pot - b.pot || stages.indexOf(a.stage) - stages.indexOf(b.stage));
}

export interface ReadSizes {
  /** By `sizeKey` and part, "gate.at_least" and "gate.share_bp" among them. */
  answers: ReadonlyMap<string, Answer<number>>;
  /** What is to be written; of use only while no answer has a problem. */
  lines: SizedStage[];
}

/** Reads all lines; one in which nothing stands is not there. */
export function readSizes(drafts: readonly SizeDraft[]): ReadSizes {
  const answers = new Map<string, Answer<number>>();
  const lines = drafts.flatMap((draft) => {
    const line: SizedStage = { stage: draft.stage, pot_mm: draft.pot };
    const read = new Map(partsOf(draft.stage).map((part) => [part, readPart(draft, part)]));
    for (const [part, answer] of heldInOrder(draft, read)) {
      answers.set(`${sizeKey(draft)} ${part}`, answer);
      if (answer.value !== undefined) line[part] = answer.value;
    }
    const gate = gateOf(draft);
    if (gate?.gates) line.gates = gate.gates;
    for (const part of ['at_least', 'share_bp'] as const) {
      answers.set(`${sizeKey(draft)} gate.${part}`, gate?.answers[part] ?? {});
    }
    return Object.keys(line).length > 2 ? [line] : [];
  });
  return { answers, lines };
}

/** The three lengths hold each other: all or none, and none below the one before it. */
function heldInOrder(draft: SizeDraft, read: Map<SizePart, Answer<number>>): Map<SizePart, Answer<number>> {
  const words = supervisorWords.value.plan;
  const name = words.stage[draft.stage];
  const lengths = lengthNames.map((length) => read.get(length) ?? {});
  if (lengths.some(({ problem }) => problem !== undefined)) return read;
  const [shortest, likely, longest] = lengths.map(({ value }) => value);
  const empty = lengthNames.find((length) => read.get(length)?.value === undefined);
  if (empty && lengths.some(({ value }) => value !== undefined)) read.set(empty, { problem: words.allThree(name) });
  if (shortest === undefined || likely === undefined || longest === undefined) return read;
  if (shortest > likely) read.set('likely_days', { problem: words.order(name) });
  else if (likely > longest) read.set('longest_days', { problem: words.order(name) });
  return read;
}

function readPart(draft: SizeDraft, part: SizePart): Answer<number> {
  return amount(draft.texts[part], {
    kind: 'profile',
    field: `sizes[].${part}`,
    name: spokenOf(draft, part),
    measure: sizeParts[part],
  });
}

function gateOf({ stage, gate, was }: SizeDraft) {
  if (gate.line === '') return undefined;
  const line = gateLines.find((each) => each === gate.line) ?? '';
  const typed = new Map([[gateKey(stage, 'line'), line as string]]);
  const before = typedGate(new Map(), stage, was?.gates ?? []);
  for (const part of ['at_least', 'share_bp'] as const) {
    if (gate[part] !== before(part) || line !== before('line')) typed.set(gateKey(stage, part), gate[part]);
  }
  const read = readGate(typed, stage, was?.gates ?? []);
  const isAsItWas = was?.gates?.[0]?.line === line && typed.size === 1;
  return read && (isAsItWas ? { ...read, gates: was?.gates ?? [] } : read);
}

/** What the field of one part is called. */
export function labelOf(part: SizePart): string {
  const { plan, crops } = supervisorWords.value;
  return {
    ...crops.sizes.part,
    shortest_days: plan.quickest,
    likely_days: plan.middle,
    longest_days: plan.slowest,
  }[part];
}

/** The name of one field of a line, with its stage and its pot size. */
export function spokenOf({ stage, pot }: Pick<SizeDraft, 'stage' | 'pot'>, part: SizePart): string {
  const words = supervisorWords.value;
  const length = lengthNames.find((each) => each === part);
  return length
    ? words.crops.sizes.spokenLength(lengthLabel(stage, length), potSize(pot))
    : words.crops.sizes.spoken(words.plan.stage[stage], potSize(pot), labelOf(part));
}

export function sizesChanged({ answers, lines }: ReadSizes, own: readonly SizedStage[]): boolean {
  const plain = (all: readonly SizedStage[]) => JSON.stringify(all.map((line) => Object.entries(line).sort()).sort());
  return [...answers.values()].some(({ problem }) => problem !== undefined) || plain(lines) !== plain(own);
}

/** The lines in the person's unit, when it was changed while something stood typed in another. */
export function sizesInUnit(drafts: readonly SizeDraft[], from: Units['length']): SizeDraft[] {
  return drafts.map((draft) => {
    if (draft.gate.line !== 'head_mm') return draft;
    const [was] = draft.was?.gates ?? [];
    const least = lengthInUnit(draft.gate.at_least, was?.line === 'head_mm' ? was.at_least : undefined, from);
    return { ...draft, gate: { ...draft.gate, at_least: least } };
  });
}

export function mostSizes(): number {
  return limitOf('profile', 'sizes')?.maxLength ?? 0;
}

/** How many come through each stage for pots of one size: value by value what holds for that size before the crop's. */
export function yieldsFor(profile: Pick<Partial<Profile>, 'yields' | 'sizes'> | undefined, pot: number): StageYield[] {
  const yields = profile?.yields ?? [];
  const sized = (profile?.sizes ?? []).filter(({ pot_mm: size }) => size === pot);
  const stages = new Set([...yields, ...sized].map(({ stage }) => stage));
  return [...stages].map((stage) => {
    const { share_bp: share, plants_each: each } = sized.find((line) => line.stage === stage) ?? {};
    return {
      ...yields.find((line) => line.stage === stage),
      stage,
      ...(share === undefined ? {} : { share_bp: share }),
      ...(each === undefined ? {} : { plants_each: each }),
    };
  });
}

/** The pot sizes for which other plants go into a pot, or others come through, than for the crop, smallest first. */
export function sizesOfYields(profile: Pick<Partial<Profile>, 'sizes'> | undefined): number[] {
  const own = (profile?.sizes ?? []).filter((line) => line.share_bp !== undefined || line.plants_each !== undefined);
  return [...new Set(own.map(({ pot_mm: pot }) => pot))].sort((a, b) => a - b);
}

/** All lines in one, as people would tell two lists of them apart. */
export function saidSizes(lines: readonly SizedStage[]): string {
  const words = supervisorWords.value.crops;
  if (lines.length === 0) return words.targets.empty;
  return lines
    .map((line) => {
      const { shortest_days: quick, likely_days: middle, longest_days: slow } = line;
      const parts = partsOf(line.stage as StageName).slice(3);
      const said = [
        ...(quick && middle && slow ? [supervisorWords.value.plan.now(quick, middle, slow)] : []),
        ...parts.flatMap((part) =>
          line[part] === undefined ? [] : [`${labelOf(part)} ${withSign(line[part], sizeParts[part])}`],
        ),
        ...saidGates(line.gates),
      ];
      const title = words.sizes.legend(supervisorWords.value.plan.stage[line.stage as StageName], potSize(line.pot_mm));
      return `${title}: ${said.join(', ')}`;
    })
    .join('; ');
}

function saidGates(gates: SizedStage['gates']): string[] {
  const words = supervisorWords.value.plan.gate;
  if (!gates) return [];
  if (gates.length === 0) return [`${words.before}: ${words.nothing}`];
  return gates.map(({ line, at_least: least = 0, share_bp: share = 0 }) => {
    if (line === 'buds_ready') return words.lines.buds_ready;
    const shown = line === 'head_mm' ? length(least) : String(least);
    return words.asks(withSign(share, 'percent'), words[line as 'root_cover'](shown));
  });
}
