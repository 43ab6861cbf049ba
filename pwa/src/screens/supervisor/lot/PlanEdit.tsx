import { useState } from 'preact/hooks';
import type { CropPlan, Lot, Pin, TryLot } from '../../../../../schema/types';
import { lots, recordOf } from '../../../journal/records/registers';
import { Button } from '../../../parts/Button';
import { appWords } from '../../../words';
import { list } from '../../../words/format';
import { word } from '../../../words/entry';
import { supervisorWords } from '../../../words/supervisor';
import { dayOf, isDay } from '../../../forms/days';
import { TextField } from '../../../forms/fields';
import { problemsOf, type Answer } from '../../../forms/typed';
import { workWords } from '../../../words/rooms';
import { leaving, RegisterForm, useRegisterEdit } from './RegisterEdit';
import { TryIt } from './TryIt';
import { WeekField } from './WeekField';

/** The lot's field for the planned day of each step that people take when they choose to. */
const pins = {
  last_pinch: 'pin_pinch',
  regulator: 'pin_regulator',
  into_cooler: 'pin_cool',
  into_forcing: 'pin_force',
} as const satisfies Record<string, keyof Lot>;

type PinField = (typeof pins)[keyof typeof pins];

/** The days on which people mean to take the lot's next steps, and its ship week: to be tried, and taken. */
export function PlanEdit({ lot, plan }: { lot: string; plan: CropPlan }) {
  const words = supervisorWords.value.plan;
  const [edits, setEdits] = useState(false);
  const coming = plan.steps.filter((step) => !step.done && Object.hasOwn(pins, step.step)).map((step) => step.step);
  if (plan.problem === 'shipped' || plan.problem === 'stock') return null;
  if (edits) return <Days lot={lot} steps={coming as (keyof typeof pins)[]} onDone={() => setEdits(false)} />;
  return (
    <p class="actions">
      {/* What has not arrived on this device cannot be written over with open eyes. */}
      <Button disabled={!recordOf('lot', lot)} onClick={() => setEdits(true)}>
        {words.edit}
      </Button>
    </p>
  );
}

interface DaysProps {
  lot: string;
  steps: readonly (keyof typeof pins)[];
  onDone: () => void;
}

/** The form of the days and the ship week. */
export function Days({ lot, steps, onDone }: DaysProps) {
  const words = supervisorWords.value.plan;
  const own = lots.value.get(lot);
  const shown = (field: string) =>
    field === 'ship_week' ? (own?.ship_week ?? '') : ((own?.[field as PinField] as Pin | null | undefined)?.on ?? '');
  const edit = useRegisterEdit('lot', lot, lot, shown);
  if (!edit) return <p class="quiet">{appWords.value.common.loading}</p>;
  const today = dayOf(Date.now());
  const answers = steps.map((step) => ({
    step,
    field: pins[step],
    answer: typedPin(edit.at(pins[step]), step, today),
  }));
  const changed = answers.filter(({ field }) => edit.at(field) !== shown(field));
  const problems = problemsOf(changed.map(({ answer }) => answer));
  const week = edit.at('ship_week');
  const save = async () => {
    const written = {
      ...Object.fromEntries(
        changed.map(({ field, answer }) => [field, answer.value === undefined ? null : { on: answer.value }]),
      ),
      ...(week === shown('ship_week') ? {} : { ship_week: week || null }),
    };
    const named = [
      ...changed.map(({ step }) => word(words.step, step)),
      ...(Object.hasOwn(written, 'ship_week') ? [words.shipWeek] : []),
    ];
    if (await edit.save(written, words.saved(list(named)))) onDone();
  };
  return (
    <RegisterForm
      edit={edit}
      kind="known"
      problems={problems}
      onSave={save}
      save={words.save}
      beside={leaving(edit, words.cancel, onDone)}
    >
      <p class="intro quiet">{words.editIntro}</p>
      <WeekField
        label={words.shipWeek}
        value={week}
        none={words.noShipWeek}
        onChoose={(chosen) => edit.type('ship_week', chosen)}
      />
      {answers.map(({ step, field, answer }) => (
        <TextField
          key={field}
          label={words.plannedDay(word(words.step, step))}
          {...edit.field(field, answer)}
          type="date"
        />
      ))}
      <TryIt edit={edit} ask={{ lots: [asTried(lot, edit.at)] }} problems={problems} />
    </RegisterForm>
  );
}

/** The lot as its fields would have it. */
function asTried(lot: string, at: (field: string) => string): TryLot {
  const set = [...Object.values(pins), 'ship_week'].flatMap((field) => (at(field) === '' ? [] : [[field, at(field)]]));
  return { lot, ...Object.fromEntries(set) } as TryLot;
}

/** A planned day lies ahead: one that has passed was taken, or was not. Empty is none. */
function typedPin(text: string, step: keyof typeof pins, today: string): Answer<string> {
  const words = supervisorWords.value.plan;
  if (text === '') return {};
  if (!isDay(text)) return { problem: workWords.value.work.typed.date(words.plannedDay(word(words.step, step))) };
  return text < today ? { problem: words.past } : { value: text };
}
