import { limits } from '../../../../../schema/limits';
import type { Bed } from '../../../../../schema/types';
import { spansOf } from '../../../journal/records/input';
import { beds } from '../../../journal/records/registers';
import { SelectField, TextField } from '../../../forms/fields';
import { amount, problemsOf, wayOf, wordsTyped, type Answer } from '../../../forms/typed';
import { appWords } from '../../../words';
import { word } from '../../../words/entry';
import { list } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { leaving, RegisterForm, useRegisterEdit } from '../lot/RegisterEdit';
import '../../../style/supervisor-crops.css';

const texts = ['name', 'entry_end', 'far_end', 'near_side', 'far_side'] as const;
const counts = ['rows', 'across'] as const;
const sizes = ['length_mm', 'width_mm'] as const;

type FieldName = (typeof texts)[number] | (typeof counts)[number] | (typeof sizes)[number] | 'aisles';

/** A bed's name, size, ends and aisles, open for writing. Only what was changed is written. */
export function BedEdit({ id, onDone }: { id: string; onDone: () => void }) {
  const { edit: words } = supervisorWords.value.bed;
  const promise = supervisorWords.value.promise;
  const own = beds.value.get(id);
  const shown = (field: string) => {
    const value = own?.[field as FieldName];
    if (typeof value === 'number' && sizes.some((size) => size === field)) return wayOf('ground').show(value);
    return value === undefined ? '' : String(value);
  };
  const edit = useRegisterEdit('bed', id, '', shown);
  if (!edit) return <p class="quiet">{appWords.value.common.loading}</p>;
  const text = (field: (typeof texts)[number]) =>
    wordsTyped(edit.at(field), 'bed', field, words.names[field], field === 'name');
  const number = (field: (typeof counts)[number] | (typeof sizes)[number], measure: 'count' | 'ground') =>
    amount(edit.at(field), { kind: 'bed', field, name: words.names[field], measure, must: true });
  const answers: Record<FieldName, Answer<string | number>> = {
    name: text('name'),
    entry_end: text('entry_end'),
    far_end: text('far_end'),
    aisles: edit.at('aisles') === '' ? {} : { value: edit.at('aisles') },
    near_side: text('near_side'),
    far_side: text('far_side'),
    rows: longEnough(id, number('rows', 'count')),
    across: number('across', 'count'),
    length_mm: number('length_mm', 'ground'),
    width_mm: number('width_mm', 'ground'),
  };
  const changed = (Object.keys(answers) as FieldName[]).filter((field) => edit.at(field) !== shown(field));
  const isRenamed = changed.includes('near_side') || changed.includes('far_side');
  const problems = problemsOf([...changed.map((field) => answers[field]), isRenamed ? toldApart(answers) : {}]);
  const save = async () => {
    const written = Object.fromEntries(changed.map((field) => [field, answers[field].value ?? null])) as Partial<Bed>;
    const said = promise.editSaved(list(changed.map((field) => word(words.names, field))));
    if (await edit.save(written, said)) onDone();
  };
  const typed = (field: Exclude<FieldName, 'aisles'>, more: { mode?: 'decimal' | 'numeric'; sign?: string } = {}) => (
    <TextField key={field} label={words.names[field]} {...edit.field(field, answers[field])} {...more} />
  );
  return (
    <RegisterForm
      edit={edit}
      kind="bed-fields"
      problems={problems}
      onSave={save}
      save={promise.editSave}
      beside={leaving(edit, promise.editCancel, onDone)}
    >
      {typed('name')}
      {typed('entry_end')}
      {typed('far_end')}
      <SelectField
        label={words.names.aisles}
        value={edit.at('aisles')}
        none={promise.notKnown}
        options={limits.bed.aisles.oneof.map((aisles) => ({ value: aisles, label: words.aisles[aisles] }))}
        onChoose={(aisles) => edit.type('aisles', aisles)}
      />
      <p class="small quiet">{words.sides}</p>
      {typed('near_side')}
      {typed('far_side')}
      {counts.map((field) => typed(field, { mode: 'numeric' }))}
      {sizes.map((field) => typed(field, { mode: 'decimal', sign: wayOf('ground').sign }))}
    </RegisterForm>
  );
}

/** A bed cannot end before the last row on which a lot stands. */
function longEnough(id: string, rows: Answer<number>): Answer<number> {
  const last = Math.max(0, ...spansOf(id).map((span) => span.to_row ?? 0));
  if (rows.value === undefined || rows.value >= last) return rows;
  return { problem: supervisorWords.value.bed.edit.lotsBeyond(last) };
}

/** Two sides of one name lead nobody to a pot. */
function toldApart({ near_side: near, far_side: far }: Record<'near_side' | 'far_side', Answer<string | number>>) {
  if (near.value === undefined || String(near.value).toLowerCase() !== String(far.value).toLowerCase()) return {};
  return { problem: supervisorWords.value.bed.edit.sameSides };
}
