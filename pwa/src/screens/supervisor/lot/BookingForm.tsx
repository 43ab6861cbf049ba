import type { Booking, TryBooking } from '../../../../../schema/types';
import { judgedOf } from '../../../journal/records/input';
import { bookings, lots, type Plain } from '../../../journal/records/registers';
import { appWords } from '../../../words';
import { potSize } from '../../../words/entry';
import { shipWeek } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { nameOfCrop } from '../../../words/names';
import { CountField, SelectField, TextField } from '../../../forms/fields';
import { amount, potsTyped, problemsOf, shownAmount, wordsTyped, type Answer } from '../../../forms/typed';
import { cultivarsOf, cropOf, gradesOf, knownCrops } from '../crops/crops';
import { moreThanThere } from './potsThere';
import { changedFrom, RegisterForm, useRegisterEdit, type RegisterEdit } from './RegisterEdit';
import { TryIt } from './TryIt';
import { WeekField } from './WeekField';
import '../../../style/supervisor-crops.css';

interface Props {
  /** '' for a booking that any lot of its crop and pot size may serve. */
  lot: string;
  /** The booking to be changed; '' for a new one. */
  id: string;
  onDone: () => void;
  onCancel: (id: string) => void;
}

/** A booking's buyer, what of, pots, grade and week: to be tried, and saved. What was typed stays until it is saved. */
export function BookingForm({ lot, id, onDone, onCancel }: Props) {
  const words = supervisorWords.value.promise;
  const own = bookings.value.get(id);
  const edit = useRegisterEdit('booking', id, lot, (field) => shownOf(own, lot, field));
  if (!edit) return <p class="quiet">{appWords.value.common.loading}</p>;
  const isWide = lot === '';
  const crop = edit.at('crop');
  const size = isWide ? Number(edit.at('pot_mm')) : (lots.value.get(lot)?.pot_mm ?? 0);
  const grades = gradesOf(judgedOf(isWide ? crop : lots.value.get(lot)?.crop).grades, size).map(({ name }) => name);
  const graded = edit.at('grade') || (id === '' ? (grades[0] ?? '') : '');
  const week = edit.at('ship_week');
  const buyer = wordsTyped(edit.at('buyer'), 'booking', 'buyer', words.buyer, true);
  const pots = amountOf(edit.at('pots'));
  const isWhole = !isWide || (crop !== '' && size > 0 && week !== '');
  const of = { lot, crop, cultivar: edit.at('cultivar'), potMM: size, week };
  const more = isWhole && pots.value !== undefined ? moreThanThere(pots.value, of) : undefined;
  const grade: Answer<string> = graded || grades.length === 0 ? { value: graded } : { problem: words.gradeMissing };
  const price = amount(edit.at('price_c'), { kind: 'booking', field: 'price_c', name: words.price, measure: 'money' });
  const reference = wordsTyped(edit.at('reference'), 'booking', 'reference', words.reference);
  const scope = isWide ? scopeProblems(crop, edit.at('pot_mm'), week) : [];
  const what = problemsOf([...scope, grade, pots]);
  const problems = problemsOf([buyer, ...scope, grade, pots, price, reference]);
  const asTried: TryBooking = {
    ...(id === '' ? {} : { id }),
    ...(isWide ? { crop, cultivar: edit.at('cultivar'), pot_mm: size } : { lot }),
    grade: graded,
    pots: pots.value ?? 0,
    ...(week === '' ? {} : { ship_week: week }),
  };
  const save = async () => {
    const changed = changedFrom<string | number>(own, {
      buyer: buyer.value,
      grade: grade.value || null,
      pots: pots.value,
      ship_week: week || null,
      price_c: price.value,
      reference: reference.value || null,
      ...(isWide ? { crop, cultivar: edit.at('cultivar') || null, pot_mm: size } : {}),
    });
    const written = id === '' && !isWide ? { lot, ...changed } : changed;
    if (await edit.save(written, words.saved(pots.value ?? 0, buyer.value ?? '', week && shipWeek(week)))) onDone();
  };
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
      {isWide && <Scope edit={edit} />}
      <CountField label={words.pots} {...edit.field('pots', more ? { ...pots, hint: more } : pots)} steps={[10, 100]} />
      <SelectField
        label={words.grade}
        value={graded}
        {...(graded ? {} : { none: words.notKnown })}
        options={optionsOf([...grades, graded])}
        onChoose={(name) => edit.type('grade', name)}
      />
      <WeekField label={words.week} value={week} none={words.weekNone} onChoose={(to) => edit.type('ship_week', to)} />
      <TextField label={words.price} {...edit.field('price_c', price)} mode="decimal" />
      <TextField label={words.reference} {...edit.field('reference', reference)} />
      <TryIt edit={edit} ask={{ lots: [], bookings: [asTried] }} problems={what} booking={id} />
    </RegisterForm>
  );
}

/** The crop, cultivar and pot size that a booking without a lot is for, chosen from those that lots and crops have. */
function Scope({ edit }: { edit: RegisterEdit }) {
  const words = supervisorWords.value.promise;
  const { at } = edit;
  const crop = at('crop');
  return (
    <>
      <SelectField
        label={words.crop}
        value={crop}
        none={words.choose}
        options={optionsOf([...knownCrops().map(({ name }) => name), crop], nameOfCrop)}
        onChoose={(name) => edit.typeAll({ crop: name, cultivar: '', pot_mm: '', grade: '' })}
      />
      <SelectField
        label={words.cultivar}
        value={at('cultivar')}
        none={words.anyCultivar}
        options={optionsOf([...cultivarsOf(crop).map(({ name }) => name), at('cultivar')])}
        onChoose={(name) => edit.type('cultivar', name)}
      />
      <SelectField
        label={words.potSize}
        value={at('pot_mm')}
        none={words.choose}
        options={optionsOf([...(crop === '' ? [] : cropOf(crop).sizes.map(String)), at('pot_mm')], (mm) =>
          potSize(Number(mm)),
        )}
        onChoose={(mm) => edit.typeAll({ pot_mm: mm, grade: '' })}
      />
    </>
  );
}

/** Each value once, the one that stands in the field (the last) among them. */
function optionsOf(values: readonly string[], label = (value: string) => value) {
  return [...new Set(values)].filter(Boolean).map((value) => ({ value, label: label(value) }));
}

/** Without a lot it has to say of what, and for when: nothing else says it. */
function scopeProblems(crop: string, pot: string, week: string): Answer<string>[] {
  const words = supervisorWords.value.promise;
  const must = (text: string, problem: string): Answer<string> => (text === '' ? { problem } : { value: text });
  return [must(crop, words.cropMissing), must(pot, words.potMissing), must(week, words.weekMissing)];
}

function shownOf(own: Plain<Booking> | undefined, lot: string, field: string): string {
  if (field === 'ship_week') return own ? (own.ship_week ?? '') : (lots.value.get(lot)?.ship_week ?? '');
  if (field === 'price_c') return shownAmount(own?.price_c, 'money');
  const value = own?.[field as 'buyer' | 'crop' | 'cultivar' | 'pot_mm' | 'pots' | 'grade' | 'reference'];
  return value === undefined ? '' : String(value);
}

/** A booking of no pots is a cancelled one, which is written as such. */
function amountOf(text: string): Answer<number> {
  const name = supervisorWords.value.promise.pots;
  const whole = potsTyped(text, name);
  if (whole.value === undefined) return whole;
  return amount(text, { kind: 'booking', field: 'pots', name, measure: 'count', must: true });
}
