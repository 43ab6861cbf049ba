/** What a supervisor is changing about one crop, kept at every keystroke until it is saved or discarded. */
import type { EntryBody, Grade, Profile } from '../../../../../schema/types';
import { profileOf } from '../../../journal/records/input';
import { recordOf } from '../../../journal/records/registers';
import { intent } from '../../../journal/outbox/write';
import { say } from '../../../parts/Toast';
import { units, type Units } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { useForm, type Form } from '../../../forms/form';
import { saveForm } from '../../../forms/saving';
import { problemsOf } from '../../../forms/typed';
import { draftsOf, inUnit, readGrade, type Draft, type ReadGrade } from './cropgrades';
import { newProfileId } from './crops';
import { gateKey, typedGate, type GatePart } from './gates';
import {
  gatesInForce,
  isChanged,
  keyOf,
  readStage,
  stageNames,
  typedStage,
  type LengthName,
  type ReadStage,
  type StageName,
} from './stages';
import { readValues, textOf, valueNames, type Answers, type ValueName } from './cropvalues';

export interface CropEdit {
  /** What stands in the field of a value. */
  typed: (name: ValueName) => string;
  type: (name: ValueName, text: string) => void;
  answers: Answers;
  drafts: readonly Draft[];
  setDrafts: (drafts: readonly Draft[]) => void;
  reads: ReadonlyMap<string, ReadGrade>;
  stages: Record<StageName, ReadStage>;
  typedLength: (stage: StageName, length: LengthName) => string;
  typeLength: (stage: StageName, length: LengthName, text: string) => void;
  typedGate: (stage: StageName, part: GatePart) => string;
  typeGate: (stage: StageName, part: GatePart, text: string) => void;
  /** All that keeps it from being saved, in the order of the fields. */
  problems: string[];
  /** How many values differ from those in force; the grades count as one. */
  changes: number;
  save: () => Promise<void>;
  discard: () => void;
}

type Changes = Partial<Record<keyof Profile, unknown>>;

interface KeptDrafts {
  unit: Units['length'];
  list: Draft[];
}

/** @returns undefined for the moment until what was typed earlier has been read */
export function useCropEdit(crop: string): CropEdit | undefined {
  const form = useForm(`crop ${crop}`, { lot: '', bed: '' });
  const own = profileOf(crop);
  if (!form) return undefined;
  const typed = new Map(form.fields());
  const kept = keptDrafts(typed.get('grades'));
  const drafts = kept ? inUnit(kept.list, kept.unit, units.value.length) : draftsOf(own?.grades ?? []);
  const reads = new Map(drafts.map((draft) => [draft.key, readGrade(draft, drafts)]));
  const answers = readValues(typed, own ?? {});
  const stages = Object.fromEntries(
    stageNames.map((name) => [name, readStage(crop, name, typed, own?.[name])]),
  ) as Record<StageName, ReadStage>;
  const changes = {
    ...changesOf(typed, answers, own ?? {}, kept ? [...reads.values()] : undefined),
    ...Object.fromEntries(
      stageNames.flatMap((name) => (isChanged(stages[name], own?.[name]) ? [[name, stages[name].stage ?? null]] : [])),
    ),
  };
  const problems = problemsOf([
    ...valueNames.map((name) => answers[name]),
    ...stageNames.flatMap((name) => [
      ...Object.values(stages[name].answers),
      ...Object.values(stages[name].gate?.answers ?? {}),
    ]),
    ...[...reads.values()].flatMap(({ name, lines }) => [name, ...Object.values(lines)]),
  ]);
  return {
    typed: (name) => typed.get(name) ?? textOf(name, own?.[name]),
    type: (name, text) => put(form, crop, name, text === textOf(name, own?.[name]) ? undefined : text),
    answers,
    drafts,
    setDrafts: (list) => {
      const fresh = JSON.stringify(list) === JSON.stringify(draftsOf(own?.grades ?? []));
      put(form, crop, 'grades', fresh ? undefined : JSON.stringify({ unit: units.value.length, list }));
    },
    reads,
    stages,
    typedLength: (stage, length) => typedStage(typed, own?.[stage], stage)(length),
    typeLength: (stage, length, text) => {
      const before = own?.[stage]?.[length];
      put(
        form,
        crop,
        stage,
        text === (before === undefined ? '' : String(before)) ? undefined : text,
        keyOf(stage, length),
      );
    },
    typedGate: (stage, part) => typedGate(typed, stage, gatesInForce(crop, stage, own?.[stage]))(part),
    typeGate: (stage, part, text) => put(form, crop, stage, text, gateKey(stage, part)),
    problems,
    changes: Object.keys(changes).length,
    save: () => save(form, crop, changes),
    discard: () => {
      const before = Object.fromEntries(form.fields());
      form.clear();
      say(supervisorWords.value.crops.discarded, () => form.set(before));
    },
  };
}

/**
 * Keeps what was typed in a field, and with it which writes were in force when the typing began: those are what the
 * person has seen. What somebody else writes meanwhile is not overwritten but stands beside it, to be settled.
 */
function put(form: Form, crop: string, field: string, text: string | undefined, key = field): void {
  const live = () => fieldsOf(crop)[field]?.live.join(' ') ?? '';
  const saw = new Map(form.fields()).get(sawOf(field)) ?? live();
  form.set({ [key]: text, [sawOf(field)]: text === undefined && key === field ? undefined : saw });
}

function sawOf(field: string): string {
  return `saw ${field}`;
}

function fieldsOf(crop: string) {
  return recordOf('profile', profileOf(crop)?.id ?? '')?.register?.fields ?? {};
}

function keptDrafts(text: string | undefined): KeptDrafts | undefined {
  return text === undefined ? undefined : (JSON.parse(text) as KeptDrafts);
}

/** What is to be written: values that differ from those set now, null for one that is emptied. */
export function changesOf(
  typed: ReadonlyMap<string, string>,
  answers: Answers,
  own: Partial<Profile>,
  grades: readonly ReadGrade[] | undefined,
): Changes {
  const changes: Changes = {};
  for (const name of valueNames) {
    const value = answers[name].value ?? null;
    const isChanged = answers[name].problem !== undefined || value !== (own[name] ?? null);
    if (typed.has(name) && isChanged) changes[name] = value;
  }
  const list = grades?.flatMap(({ grade }) => grade ?? []);
  if (list && (list.length !== grades?.length || !isSame(list, own.grades ?? []))) changes.grades = list;
  return changes;
}

function isSame(a: readonly Grade[], b: readonly Grade[]): boolean {
  const plain = (grades: readonly Grade[]) => JSON.stringify(grades.map((grade) => Object.entries(grade).sort()));
  return plain(a) === plain(b);
}

async function save(form: Form, crop: string, changes: Changes): Promise<void> {
  const typed = new Map(form.fields());
  const profile = profileOf(crop);
  const seen = Object.keys(changes).flatMap((field) => (typed.get(sawOf(field)) ?? '').split(' ').filter(Boolean));
  const body = {
    of: profile?.id ?? newProfileId(crop),
    saw: [...new Set(seen)].sort(),
    ...(profile ? {} : { crop }),
    ...changes,
  } as EntryBody['profile'];
  const saved = await saveForm(
    form.key,
    [intent('profile', body, { id: form.id(1) })],
    supervisorWords.value.crops.saved(crop),
  );
  if (saved) form.clear();
}
