import { useEffect } from 'preact/hooks';
import type { Lot } from '../../../../../schema/types';
import { lots, type Plain } from '../../../journal/records/registers';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { workWords } from '../../../words/rooms';
import { NOT_KNOWN, dayTyped } from '../../../forms/days';
import { CropField } from '../../../forms/CropField';
import { DayField, SelectField, TextField } from '../../../forms/fields';
import { knownLots } from '../../../forms/place';
import { whereLost } from '../../../parts/focus';
import { nameOfLot } from '../../../words/names';
import { lotsOf } from '../../../forms/code';
import { amount, problemsOf, tagTyped, wayOf, wordsTyped, type Answer } from '../../../forms/typed';
import { leaving, RegisterForm, useRegisterEdit, type RegisterEdit } from './RegisterEdit';
import { word } from '../../../words/entry';
import { WeekField } from './WeekField';
import '../../../style/supervisor-crops.css';

/** The fields of a lot that are changed on its page, in their order. */
export const lotFields = [
  'tag',
  'crop',
  'cultivar',
  'pot_mm',
  'plants_each',
  'origin',
  'parent',
  'mother',
  'stock',
  'struck_on',
  'potted_on',
  'ship_week',
  'route',
  'shipped_on',
] as const;
export type LotField = (typeof lotFields)[number];

const days = ['struck_on', 'potted_on', 'shipped_on'] as const;
type Day = (typeof days)[number];

/** What stands in the field of a tick. */
const YES = 'yes';

type FieldAnswer = Answer<string | number | boolean>;

interface Props {
  lot: string;
  field: LotField;
  onDone: () => void;
}

/** One field of a lot, open for writing. Nothing else is written, so that nobody else's value is written over. */
export function KnownEdit({ lot, field, onDone }: Props) {
  const words = supervisorWords.value.promise;
  const own = lots.value.get(lot);
  const now = Date.now();
  const shown = (name: string) => shownIn(own, name as LotField);
  const edit = useRegisterEdit('lot', lot, lot, shown);
  const isReady = edit !== undefined;
  useEffect(() => {
    // The button that opened it is gone.
    if (isReady) whereLost(() => document.querySelector('form.known :is(input, select, textarea)'));
  }, [isReady]);
  if (!edit) return <p class="quiet">{appWords.value.common.loading}</p>;
  const answer = inOrder(answerOf(field, edit.at(field), lot, now), field, own);
  const isChanged = edit.at(field) !== shown(field) && (answer.problem !== undefined || answer.value !== own?.[field]);
  const problems = isChanged ? problemsOf([answer]) : [];
  const save = async () => {
    const written = isChanged ? ({ [field]: answer.value ?? null } as Partial<Lot>) : {};
    if (await edit.save(written, words.editSaved(word(supervisorWords.value.lot.field, field)))) onDone();
  };
  return (
    <RegisterForm
      edit={edit}
      kind="known"
      problems={problems}
      onSave={save}
      save={words.editSave}
      beside={leaving(edit, words.editCancel, onDone)}
    >
      <OneField lot={lot} field={field} edit={edit} answer={answer} now={now} />
    </RegisterForm>
  );
}

function shownIn(own: Plain<Lot> | undefined, field: LotField): string {
  const value = own?.[field];
  if (field === 'pot_mm') return typeof value === 'number' ? wayOf('length').show(value) : '';
  if (days.some((day) => day === field)) return typeof value === 'string' ? value : NOT_KNOWN;
  if (field === 'stock') return value === true ? YES : '';
  if (field === 'parent' || field === 'mother') return lots.value.get(String(value))?.tag ?? '';
  return value === undefined ? '' : String(value);
}

function answerOf(field: LotField, typed: string, lot: string, now: number): FieldAnswer {
  const name = supervisorWords.value.lot.field[field];
  switch (field) {
    case 'tag':
      return tagOf(lot, typed, name);
    case 'crop':
    case 'cultivar':
      return wordsTyped(typed, 'lot', field, name, true);
    case 'origin':
      return wordsTyped(typed, 'lot', field, name);
    case 'pot_mm':
      return amount(typed, { kind: 'lot', field, name, measure: 'length', must: true });
    case 'plants_each':
      return amount(typed, { kind: 'lot', field, name, measure: 'count' });
    case 'stock':
      return { value: typed === YES };
    case 'parent':
    case 'mother':
      return otherLot(lot, field, typed, name);
    case 'struck_on':
    case 'potted_on':
    case 'shipped_on':
      return dayTyped(typed, name, now, true);
    case 'ship_week':
    case 'route':
      return typed === '' ? {} : { value: typed };
  }
}

interface OneProps {
  lot: string;
  field: LotField;
  edit: RegisterEdit;
  answer: FieldAnswer;
  now: number;
}

function OneField({ lot, field, edit, answer, now }: OneProps) {
  const words = supervisorWords.value.promise;
  const label = supervisorWords.value.lot.field[field];
  const asked = edit.field(field, answer);
  const put = (typed: string) => edit.type(field, typed);
  switch (field) {
    case 'crop':
      return <CropField label={label} {...asked} />;
    case 'tag':
      return <TextField label={label} {...asked} capitals="characters" />;
    case 'cultivar': {
      const known = [...new Set([...lots.value.values()].flatMap((each) => each.cultivar ?? []))].sort();
      return <TextField label={label} {...asked} capitals="words" list={known} />;
    }
    case 'origin':
      return <TextField label={label} {...asked} />;
    case 'parent':
    case 'mother': {
      const tags = knownLots().flatMap(({ id, tag }) => (id === lot || tag === undefined ? [] : [tag]));
      return (
        <TextField label={label} note={words.lotByTag} {...asked} capitals="characters" list={[...new Set(tags)]} />
      );
    }
    case 'pot_mm':
      return <TextField label={label} {...asked} mode="decimal" sign={wayOf('length').sign} />;
    case 'plants_each':
      return <TextField label={label} {...asked} mode="numeric" />;
    case 'stock':
      return (
        <label class="tick">
          <input
            type="checkbox"
            checked={edit.at(field) === YES}
            onChange={({ currentTarget }) => put(currentTarget.checked ? YES : '')}
          />
          <span>{label}</span>
        </label>
      );
    case 'ship_week':
      return <WeekField label={label} value={edit.at(field)} none={words.weekNone} onChoose={put} />;
    case 'route':
      return (
        <SelectField
          label={label}
          value={edit.at(field)}
          none={words.notKnown}
          options={(['florist', 'nursery'] as const).map((route) => ({
            value: route,
            label: supervisorWords.value.lot.route[route],
          }))}
          onChoose={put}
        />
      );
    case 'struck_on':
    case 'potted_on':
    case 'shipped_on':
      return <DayField label={label} {...asked} now={now} mayBeUnknown />;
  }
}

/** A tag as it is typed; one that another lot has is asked about, never refused. */
function tagOf(lot: string, text: string, name: string): Answer<string> {
  const typed = tagTyped(text, name);
  const same = lotsOf(typed.value ?? '', knownLots()).find((each) => each.id !== lot);
  return same ? { ...typed, hint: workWords.value.work.hint.tagThere(nameOfLot(same.id)) } : typed;
}

/** Another lot by its tag; one that comes from this lot cannot be where it came from. */
function otherLot(lot: string, field: 'parent' | 'mother', typed: string, name: string): Answer<string> {
  const words = supervisorWords.value.promise;
  if (typed.trim() === '') return {};
  const form = tagTyped(typed, name);
  if (form.problem !== undefined) return form;
  const found = lotsOf(typed, knownLots());
  const [one] = found;
  if (!one || found.length > 1) return { problem: words.lotByTagWrong(typed.trim(), found.length) };
  return comesFrom(one.id, lot, field) ? { problem: words.lotCircle(name, one.tag ?? '') } : { value: one.id };
}

function comesFrom(lot: string, other: string, field: 'parent' | 'mother'): boolean {
  const passed = new Set<string>();
  for (let at: string | undefined = lot; at !== undefined && !passed.has(at); at = lots.value.get(at)?.[field]) {
    if (at === other) return true;
    passed.add(at);
  }
  return false;
}

/** A day that contradicts another of the lot. */
function inOrder(answer: FieldAnswer, field: LotField, own: Plain<Lot> | undefined): FieldAnswer {
  const at = days.indexOf(field as Day);
  if (at < 0 || answer.value === undefined) return answer;
  const names = supervisorWords.value.lot.field;
  const { before } = workWords.value.work.typed;
  for (const [i, other] of days.entries()) {
    const day = own?.[other];
    if (day === undefined) continue;
    if (i < at && answer.value < day) return { problem: before(names[field], names[other]) };
    if (i > at && answer.value > day) return { problem: before(names[other], names[field]) };
  }
  return answer;
}
