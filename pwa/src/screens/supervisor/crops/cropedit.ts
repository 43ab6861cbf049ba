/** What a supervisor is changing about one crop, kept at every keystroke until it is saved or discarded. */
import type { EntryBody, Grade, Profile, StageYield } from '../../../../../schema/types';
import { profileOf } from '../../../journal/records/input';
import { recordOf } from '../../../journal/records/registers';
import { intent } from '../../../journal/outbox/write';
import { say } from '../../../parts/Toast';
import { units, type Units } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { useForm, type Form } from '../../../forms/form';
import { saveForm } from '../../../forms/saving';
import { problemsOf, type Answer } from '../../../forms/typed';
import { draftsOf, inUnit, readGrade, type Draft, type ReadGrade } from './cropgrades';
import { newProfileId } from './crops';
import { putter, sawAll } from './keptfields';
import { stagesGone, stagesOfCrop, type StageName } from './stages';
import { stageEdit, type StageEdit } from './stageedit';
import {
  readTargets,
  targetDrafts,
  targetsChanged,
  targetsInUnit,
  type ReadTargets,
  type TargetDraft,
} from './targets';
import { readSizes, sizeDrafts, sizesChanged, sizesInUnit, type ReadSizes, type SizeDraft } from './sizes';
import { readYields, typedYield, yieldKey, type YieldPart } from './yields';
import { readValues, textOf, valueNames, type Answers, type ValueName } from './cropvalues';

export interface CropEdit extends StageEdit {
  /** What stands in the field of a value. */
  typed: (name: ValueName) => string;
  type: (name: ValueName, text: string) => void;
  answers: Answers;
  drafts: readonly Draft[];
  setDrafts: (drafts: readonly Draft[]) => void;
  reads: ReadonlyMap<string, ReadGrade>;
  /** The stages that the crop goes through, and how many come through them as it is typed. */
  stagesGone: readonly StageName[];
  yields: readonly StageYield[];
  yieldAnswers: ReadonlyMap<string, Answer<number>>;
  typedYield: (stage: StageName, part: YieldPart) => string;
  typeYield: (stage: StageName, part: YieldPart, text: string) => void;
  /** The rows of the band of head sizes, and what was read of them. */
  targets: readonly TargetDraft[];
  setTargets: (rows: readonly TargetDraft[]) => void;
  targetReads: ReadTargets;
  /** Where stages differ by pot size, and what was read of that. */
  sizes: readonly SizeDraft[];
  setSizes: (lines: readonly SizeDraft[]) => void;
  sizeReads: ReadSizes;
  /** All that keeps it from being saved, in the order of the fields. */
  problems: string[];
  /** How many values differ from those in force; the grades count as one. */
  changes: number;
  save: () => Promise<void>;
  discard: () => void;
}

type Changes = Partial<Record<keyof Profile, unknown>>;

interface KeptDrafts<D> {
  unit: Units['length'];
  list: D[];
}

/** @returns undefined for the moment until what was typed earlier has been read */
export function useCropEdit(crop: string): CropEdit | undefined {
  const form = useForm(`crop ${crop}`, { lot: '', bed: '' });
  const own = profileOf(crop);
  if (!form) return undefined;
  const typed = new Map(form.fields());
  const kept = keptDrafts<Draft>(typed.get('grades'));
  const drafts = kept ? inUnit(kept.list, kept.unit, units.value.length) : draftsOf(own?.grades ?? []);
  const reads = new Map(drafts.map((draft) => [draft.key, readGrade(draft, drafts)]));
  const answers = readValues(typed, own ?? {});
  const put = putter(form, () => fieldsOf(crop));
  /** @param before what stands there while nothing is typed */
  const putDrafts = (name: 'grades' | 'targets' | 'sizes', list: readonly unknown[], before: readonly unknown[]) => {
    const isAsBefore = JSON.stringify(list) === JSON.stringify(before);
    put(name, { [name]: isAsBefore ? undefined : JSON.stringify({ unit: units.value.length, list }) });
  };
  const stages = stageEdit(stagesOfCrop(crop), typed, own ?? {}, put);
  const gone = stagesGone(crop, own);
  const yields = readYields(typed, own?.yields ?? [], gone);
  const keptRows = keptDrafts<TargetDraft>(typed.get('targets'));
  const rows = keptRows ? targetsInUnit(keptRows.list, keptRows.unit) : targetDrafts(own?.targets ?? []);
  const targets = readTargets(rows);
  const keptSizes = keptDrafts<SizeDraft>(typed.get('sizes'));
  const sizes = keptSizes ? sizesInUnit(keptSizes.list, keptSizes.unit) : sizeDrafts(own?.sizes ?? [], gone);
  const sizeReads = readSizes(sizes);
  const changes = {
    ...changesOf(typed, answers, own ?? {}, kept ? [...reads.values()] : undefined),
    ...stages.stageChanges,
    ...(yields.isChanged ? { yields: yields.yields } : {}),
    ...(keptRows && targetsChanged(targets, own?.targets ?? []) ? { targets: targets.rows } : {}),
    ...(keptSizes && sizesChanged(sizeReads, own?.sizes ?? []) ? { sizes: sizeReads.lines } : {}),
  };
  const problems = problemsOf([
    ...valueNames.map((name) => answers[name]),
    ...stages.stageAnswers,
    ...yields.answers.values(),
    ...sizeReads.answers.values(),
    ...targets.answers.values(),
    ...[...reads.values()].flatMap(({ name, lines }) => [name, ...Object.values(lines)]),
  ]);
  return {
    typed: (name) => typed.get(name) ?? textOf(name, own?.[name]),
    type: (name, text) => put(name, { [name]: text === textOf(name, own?.[name]) ? undefined : text }),
    answers,
    drafts,
    setDrafts: (list) => putDrafts('grades', list, draftsOf(own?.grades ?? [])),
    reads,
    ...stages,
    stagesGone: gone,
    yields: yields.yields,
    yieldAnswers: yields.answers,
    typedYield: typedYield(typed, own?.yields ?? []),
    typeYield: (stage, part, text) => put('yields', { [yieldKey(stage, part)]: text }),
    targets: rows,
    setTargets: (list) => putDrafts('targets', list, targetDrafts(own?.targets ?? [])),
    targetReads: targets,
    sizes,
    setSizes: (list) => putDrafts('sizes', list, sizeDrafts(own?.sizes ?? [], gone)),
    sizeReads,
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

function fieldsOf(crop: string) {
  return recordOf('profile', profileOf(crop)?.id ?? '')?.register?.fields ?? {};
}

function keptDrafts<D>(text: string | undefined): KeptDrafts<D> | undefined {
  return text === undefined ? undefined : (JSON.parse(text) as KeptDrafts<D>);
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
  const body = {
    of: profile?.id ?? newProfileId(crop),
    saw: sawAll(typed, Object.keys(changes)),
    ...(profile ? {} : { crop }),
    ...changes,
  } as EntryBody['profile'];
  const saved = await saveForm(
    form,
    [intent('profile', body, { id: form.id(1) })],
    supervisorWords.value.crops.saved(crop),
  );
  if (saved) form.clear();
}
