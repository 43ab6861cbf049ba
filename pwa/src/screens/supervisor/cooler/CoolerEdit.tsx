import { limits } from '../../../../../schema/limits';
import { houses } from '../../../journal/records/registers';
import { SelectField, TextField } from '../../../forms/fields';
import { amount, problemsOf, shownAmount, wayOf, wordsTyped, type Answer } from '../../../forms/typed';
import { supervisorWords } from '../../../words/supervisor';
import { changedFrom, leaving, RegisterForm, useRegisterEdit } from '../lot/RegisterEdit';
import '../../../style/supervisor-crops.css';

const BAND = ['band_low_dc', 'band_high_dc'] as const;

/** A cooler's name, use and band; with an id of '' a house becomes one, or a new one is written. */
export function CoolerEdit({ id, onDone }: { id: string; onDone: () => void }) {
  const words = supervisorWords.value.cooler.form;
  const own = houses.value.get(id);
  const shown = (field: string) => {
    if (field === 'use') return own?.use ?? 'cooler';
    if (field === 'name') return own?.name ?? '';
    const value = field === 'band_low_dc' ? own?.band_low_dc : own?.band_high_dc;
    return shownAmount(value, 'temperature');
  };
  const edit = useRegisterEdit('house', id, '', shown);
  if (!edit) return null;
  const name = wordsTyped(edit.at('name'), 'house', 'name', words.name, true);
  const [low, high] = BAND.map((field) =>
    amount(edit.at(field), {
      kind: 'house',
      field,
      name: field === 'band_low_dc' ? words.low : words.high,
      measure: 'temperature',
    }),
  ) as [Answer<number>, Answer<number>];
  const problems = problemsOf([name, low, high, whole(low, high)]);
  const save = async () => {
    const all = { name: name.value, use: edit.at('use'), band_low_dc: low.value, band_high_dc: high.value };
    if (await edit.save(changedFrom<string | number>(own, all), words.saved(name.value ?? ''))) onDone();
  };
  const sign = wayOf('temperature').sign;
  return (
    <RegisterForm
      edit={edit}
      kind="house-fields"
      problems={problems}
      onSave={save}
      save={words.save}
      beside={leaving(edit, words.cancel, onDone)}
    >
      <TextField label={words.name} {...edit.field('name', name)} capitals="words" />
      {id !== '' && (
        <SelectField
          label={words.use}
          value={edit.at('use')}
          options={limits.house.use.oneof.map((use) => ({ value: use, label: words.uses[use] }))}
          onChoose={(use) => edit.type('use', use)}
        />
      )}
      <TextField label={words.low} {...edit.field('band_low_dc', low)} mode="text" sign={sign} />
      <TextField label={words.high} {...edit.field('band_high_dc', high)} mode="text" sign={sign} />
    </RegisterForm>
  );
}

/** Half a band is none, and one that is turned round holds no temperature. */
function whole(low: Answer<number>, high: Answer<number>): Answer<number> {
  const words = supervisorWords.value.cooler.form;
  if (low.problem !== undefined || high.problem !== undefined) return {};
  if ((low.value === undefined) !== (high.value === undefined)) return { problem: words.bandBoth };
  return (low.value ?? 0) > (high.value ?? 0) ? { problem: words.bandOrder } : {};
}
