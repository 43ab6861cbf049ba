import type { Lot } from '../../../../../schema/types';
import { lots } from '../../../journal/records/registers';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { list } from '../../../words/format';
import { workWords } from '../../../words/rooms';
import { NOT_KNOWN, dayTyped } from '../../../forms/days';
import { CropField } from '../../../forms/CropField';
import { DayField, SelectField, TextField } from '../../../forms/fields';
import { knownLots } from '../../../forms/place';
import { nameOfLot } from '../../../words/names';
import { lotsOf } from '../../../forms/code';
import { amount, problemsOf, tagTyped, wayOf, wordsTyped, type Answer } from '../../../forms/typed';
import { leaving, RegisterForm, useRegisterEdit } from './RegisterEdit';
import { word } from '../../../words/entry';
import { WeekField } from './WeekField';
import '../../../style/supervisor-crops.css';

const texts = ['tag', 'crop', 'cultivar', 'origin'] as const;
const days = ['struck_on', 'potted_on', 'shipped_on'] as const;

/** What stands in the field of a tick. */
const YES = 'yes';

type FieldName =
  (typeof texts)[number] | (typeof days)[number] | 'pot_mm' | 'plants_each' | 'stock' | 'ship_week' | 'route';

/** The lot's fields, open for writing. Only what was changed is written, so that nobody else's value is written over. */
export function KnownEdit({ lot, onDone }: { lot: string; onDone: () => void }) {
  const words = supervisorWords.value.promise;
  const names = supervisorWords.value.lot.field;
  const own = lots.value.get(lot);
  const now = Date.now();
  const shown = (field: string) => {
    const value = own?.[field as FieldName];
    if (field === 'pot_mm') return typeof value === 'number' ? wayOf('length').show(value) : '';
    if (days.some((day) => day === field)) return typeof value === 'string' ? value : NOT_KNOWN;
    if (field === 'stock') return value === true ? YES : '';
    return value === undefined ? '' : String(value);
  };
  const edit = useRegisterEdit('lot', lot, lot, shown);
  const at = (field: FieldName) => edit?.at(field) ?? '';
  const answers: Record<FieldName, Answer<string | number | boolean>> = {
    tag: tagOf(lot, at('tag'), names.tag),
    crop: wordsTyped(at('crop'), 'lot', 'crop', names.crop, true),
    cultivar: wordsTyped(at('cultivar'), 'lot', 'cultivar', names.cultivar, true),
    pot_mm: amount(at('pot_mm'), { kind: 'lot', field: 'pot_mm', name: names.pot_mm, measure: 'length', must: true }),
    plants_each: amount(at('plants_each'), {
      kind: 'lot',
      field: 'plants_each',
      name: names.plants_each,
      measure: 'count',
    }),
    stock: { value: at('stock') === YES },
    origin: wordsTyped(at('origin'), 'lot', 'origin', names.origin),
    struck_on: dayTyped(at('struck_on'), names.struck_on, now, true),
    potted_on: dayTyped(at('potted_on'), names.potted_on, now, true),
    shipped_on: dayTyped(at('shipped_on'), names.shipped_on, now, true),
    ship_week: at('ship_week') === '' ? {} : { value: at('ship_week') },
    route: at('route') === '' ? {} : { value: at('route') },
  };
  inOrder(answers, 'struck_on', 'potted_on');
  inOrder(answers, 'potted_on', 'shipped_on');
  const changed = (Object.keys(answers) as FieldName[]).filter(
    (field) => edit !== undefined && edit.at(field) !== shown(field) && differs(answers[field], own?.[field]),
  );
  // Two days that contradict each other are said at the later one, whichever was changed.
  const asked = days.some((day) => changed.includes(day)) ? [...new Set([...changed, ...days])] : changed;
  const problems = problemsOf(asked.map((field) => answers[field]));
  if (!edit) return <p class="quiet">{appWords.value.common.loading}</p>;
  const save = async () => {
    const written = Object.fromEntries(changed.map((field) => [field, answers[field].value ?? null])) as Partial<Lot>;
    const said = words.editSaved(list(changed.map((field) => word(names, field))));
    if (await edit.save(written, said)) onDone();
  };
  const cultivars = [...new Set([...lots.value.values()].flatMap((each) => each.cultivar ?? []))].sort();
  return (
    <RegisterForm
      edit={edit}
      kind="known"
      problems={problems}
      onSave={save}
      save={words.editSave}
      beside={leaving(edit, words.editCancel, onDone)}
    >
      {texts.map((field) =>
        field === 'crop' ? (
          <CropField key={field} label={names[field]} {...edit.field(field, answers[field])} />
        ) : (
          <TextField
            key={field}
            label={names[field]}
            {...edit.field(field, answers[field])}
            capitals={field === 'tag' ? 'characters' : field === 'cultivar' ? 'words' : 'none'}
            {...(field === 'cultivar' ? { list: cultivars } : {})}
          />
        ),
      )}
      <TextField
        label={names.pot_mm}
        {...edit.field('pot_mm', answers.pot_mm)}
        mode="decimal"
        sign={wayOf('length').sign}
      />
      <TextField label={names.plants_each} {...edit.field('plants_each', answers.plants_each)} mode="numeric" />
      <label class="tick">
        <input
          type="checkbox"
          checked={at('stock') === YES}
          onChange={({ currentTarget }) => edit.type('stock', currentTarget.checked ? YES : '')}
        />
        <span>{names.stock}</span>
      </label>
      <WeekField
        label={names.ship_week}
        value={at('ship_week')}
        none={words.weekNone}
        onChoose={(week) => edit.type('ship_week', week)}
      />
      <SelectField
        label={names.route}
        value={at('route')}
        none={words.notKnown}
        options={(['florist', 'nursery'] as const).map((route) => ({
          value: route,
          label: supervisorWords.value.lot.route[route],
        }))}
        onChoose={(route) => edit.type('route', route)}
      />
      {days.map((field) => (
        <DayField key={field} label={names[field]} {...edit.field(field, answers[field])} now={now} mayBeUnknown />
      ))}
    </RegisterForm>
  );
}

/** A tag as it is typed; one that another lot has is asked about, never refused. */
function tagOf(lot: string, text: string, name: string): Answer<string> {
  const typed = tagTyped(text, name);
  const same = lotsOf(typed.value ?? '', knownLots()).find((each) => each.id !== lot);
  return same ? { ...typed, hint: workWords.value.work.hint.tagThere(nameOfLot(same.id)) } : typed;
}

/** A step cannot come before the one it follows: said at the later one. */
function inOrder(
  answers: Record<FieldName, Answer<string | number | boolean>>,
  first: (typeof days)[number],
  then: (typeof days)[number],
): void {
  const [a, b] = [answers[first].value, answers[then].value];
  const names = supervisorWords.value.lot.field;
  if (a === undefined || b === undefined || b >= a) return;
  answers[then] = { problem: workWords.value.work.typed.before(names[then], names[first]) };
}

function differs(
  { value, problem }: Answer<string | number | boolean>,
  own: string | number | boolean | undefined,
): boolean {
  return problem !== undefined || value !== own;
}
