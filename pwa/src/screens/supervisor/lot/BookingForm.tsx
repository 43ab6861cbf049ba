import { bookings, lots } from '../../../journal/records/registers';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { CountField, SelectField, TextField } from '../../../forms/fields';
import { amount, potsTyped, problemsOf, wordsTyped, type Answer } from '../../../forms/typed';
import { changedFrom, RegisterForm, useRegisterEdit } from './RegisterEdit';
import { WeekField } from './WeekField';
import '../../../style/supervisor-crops.css';

interface Props {
  lot: string;
  /** The booking to be changed; '' for a new one. */
  id: string;
  /** Best first; none where the crop has no grades for the lot's pot size. */
  grades: readonly string[];
  onDone: () => void;
  onCancel: (id: string) => void;
}

/** A booking's buyer, grade, pots and week. What was typed stays until it is saved. */
export function BookingForm({ lot, id, grades, onDone, onCancel }: Props) {
  const words = supervisorWords.value.promise;
  const own = bookings.value.get(id);
  const shown = (field: string) => {
    if (field === 'grade') return own?.grade ?? (id === '' ? (grades[0] ?? '') : '');
    if (field === 'ship_week') return own?.ship_week ?? (id === '' ? (lots.value.get(lot)?.ship_week ?? '') : '');
    if (field === 'pots') return own?.pots === undefined ? '' : String(own.pots);
    return own?.buyer ?? '';
  };
  const edit = useRegisterEdit('booking', id, lot, shown);
  const buyer = wordsTyped(edit?.at('buyer') ?? '', 'booking', 'buyer', words.buyer, true);
  const pots = amountOf(edit?.at('pots') ?? '');
  const grade: Answer<string> =
    edit?.at('grade') || grades.length === 0 ? { value: edit?.at('grade') ?? '' } : { problem: words.gradeMissing };
  const problems = problemsOf([buyer, grade, pots]);
  if (!edit) return <p class="quiet">{appWords.value.common.loading}</p>;
  const week = edit.at('ship_week');
  const save = async () => {
    const all = { buyer: buyer.value, grade: grade.value || null, pots: pots.value, ship_week: week || null };
    const changed = changedFrom<string | number>(own, all);
    const written = id === '' ? { lot, ...changed } : changed;
    if (await edit.save(written, words.saved(pots.value ?? 0, buyer.value ?? ''))) onDone();
  };
  const options = [...new Set([...grades, edit.at('grade')])].filter(Boolean);
  const beside =
    id === '' ? undefined : { label: own?.cancelled ? words.renew : words.cancel, onTap: () => onCancel(id) };
  return (
    <RegisterForm edit={edit} kind="booking" problems={problems} onSave={save} save={words.save} beside={beside}>
      <TextField
        label={words.buyer}
        {...edit.field('buyer', buyer)}
        capitals="words"
        list={[...new Set([...bookings.value.values()].flatMap((each) => each.buyer ?? []))].sort()}
      />
      <CountField label={words.pots} {...edit.field('pots', pots)} steps={[10, 100]} />
      <SelectField
        label={words.grade}
        value={edit.at('grade')}
        {...(edit.at('grade') ? {} : { none: words.notKnown })}
        options={options.map((name) => ({ value: name, label: name }))}
        onChoose={(name) => edit.type('grade', name)}
      />
      <WeekField label={words.week} value={week} none={words.weekNone} onChoose={(to) => edit.type('ship_week', to)} />
    </RegisterForm>
  );
}

/** A booking of no pots is a cancelled one, which is written as such. */
function amountOf(text: string): Answer<number> {
  const name = supervisorWords.value.promise.pots;
  const whole = potsTyped(text, name);
  if (whole.value === undefined) return whole;
  return amount(text, { kind: 'booking', field: 'pots', name, measure: 'count', must: true });
}
