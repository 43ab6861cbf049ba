import { limits } from '../../../../../schema/limits';
import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { applications, beds } from '../../../journal/records/registers';
import { intent } from '../../../journal/outbox/write';
import { Button } from '../../../parts/Button';
import { Choice } from '../../../parts/Choice';
import { untilWhen } from '../../../words/format';
import { momentOf } from '../../../words/zone';
import { workWords } from '../../../words/rooms';
import { Cautions } from '../Cautions';
import { dayIn, dayOf, dayTyped, timeOfDay } from '../../../forms/days';
import { DayField, TextField, WordsField } from '../../../forms/fields';
import { useForm, type Form } from '../../../forms/form';
import { Frame, Opening } from '../Frame';
import { useFormTask } from '../ticks';
import { bedList } from '../picks';
import { addressOf, bedsOf, knownBeds, lotsOn, type Location } from '../../../forms/place';
import { gettingRecords } from '../../../words/arriving';
import { nameOfLot } from '../../../words/names';
import { amount, given, problemsOf, wordsTyped, type Answer } from '../../../forms/typed';

const REGULATOR = 'growth_regulator';
const HOUR_MS = 60 * 60 * 1000;
const DAY_MS = 24 * HOUR_MS;

/** Common names of active ingredients, to spare typing; which one it was, and its interval, the label in hand says. */
const common = [
  'ancymidol',
  'chlormequat chloride',
  'daminozide',
  'ethephon',
  'gibberellic acid',
  'paclobutrazol',
  'uniconazole',
];

/** A growth regulator or other product put on. Saved here, it closes its beds on this phone at once. */
export function Applied({ place }: { place: Location }) {
  const words = workWords.value.work;
  const now = Date.now();
  const task = useFormTask(place);
  const fresh = {
    // A step of a lot is taken on every bed that it stands on.
    beds: (!task && place.bed) || bedsOf(place.lot).join(' ') || place.bed,
    day: dayOf(now),
    ...(task?.step === 'regulator' ? { purpose: REGULATOR } : {}),
  };
  const form = useForm('application', place, fresh, task?.id);
  if (!form || task?.isReady === false) return <Opening title={words.forms.application} />;
  const names = words.application;
  const chosen = idsIn(form, 'beds');
  const closed: Answer<string[]> = chosen.length > 0 ? { value: chosen } : { problem: words.pick.noBed };
  const purpose = limits.application.purpose.oneof.find((each) => each === form.at('purpose'));
  const asked = purpose ? { value: purpose } : { problem: words.typed.choice(names.purpose) };
  const active = wordsTyped(form.at('active'), 'application', 'active', names.active, true);
  const ofLabel = (
    [
      { field: 'product', label: names.product },
      { field: 'reg_no', label: names.regNo },
      { field: 'amount', label: names.amount },
    ] as const
  ).map((each) => ({ ...each, answer: wordsTyped(form.at(each.field), 'application', each.field, each.label) }));
  const hours = hoursTyped(form.at('hours'), names.hours);
  const day = dayTyped(form.at('day'), names.ended, now);
  const ended = endTyped(form, day, now);
  const sprayed = lotsTyped(form, place.lot, chosen);
  const began = beganTyped(form, ended.value);
  const more = wordsTyped(form.at('words'), 'application', 'words', words.form.words);
  const opens =
    ended.value !== undefined && hours.value !== undefined ? ended.value + hours.value * HOUR_MS : undefined;
  const notes = () => {
    if (
      !closed.value ||
      !purpose ||
      !active.value ||
      hours.value === undefined ||
      ended.value === undefined ||
      !opens
    ) {
      throw new TypeError('an application without what its label says cannot be saved');
    }
    const body = {
      ...(place.lot ? { lot: place.lot } : {}),
      beds: closed.value,
      ...given('lots', sprayed),
      purpose,
      active: active.value,
      ...Object.fromEntries(
        ofLabel.flatMap(({ field, answer }) => (answer.value === undefined ? [] : [[field, answer.value]])),
      ),
      ...given('started_at', began),
      ended_at: ended.value,
      entry_hours: hours.value,
      ...given('words', more),
    };
    return {
      notes: [intent('application', body, { id: form.id(0), ...(chosen[0] ? { bed: chosen[0] } : {}) })],
      said: opens > now ? names.saved(untilWhen(opens)) : names.savedOpen,
    };
  };
  return (
    <Frame
      title={words.forms.application}
      place={place}
      form={form}
      problems={problemsOf([
        asked,
        closed,
        sprayed,
        active,
        ...ofLabel.map(({ answer }) => answer),
        hours,
        began,
        ended,
        more,
      ])}
      notes={notes}
      then={addressOf('', place)}
      ticks={
        task && {
          task,
          on: ended.value === undefined ? undefined : dayOf(ended.value),
          unless: purpose === REGULATOR ? '' : words.form.ticksIf(names.purposes[REGULATOR]),
        }
      }
    >
      <Choice
        legend={names.purpose}
        options={limits.application.purpose.oneof.map((each) => ({ value: each, label: names.purposes[each] }))}
        value={purpose}
        columns={2}
        onChoose={(each) => form.set({ purpose: each })}
      />
      {/* Under the first question, as for a mix: with large letters they alone would fill the screen. */}
      <Cautions />
      <BedsPick form={form} chosen={chosen} label={names.beds} />
      <LotsPick form={form} own={place.lot} beds={chosen} problem={sprayed.problem} />
      <TextField
        label={names.active}
        {...form.field('active', active)}
        list={[...new Set([...applications.value.map((each) => each.active), ...common])]}
      />
      {ofLabel.map(({ field, label, answer }) => (
        <TextField key={field} label={label} {...form.field(field, answer)} />
      ))}
      <TextField label={names.hours} {...form.field('hours', hours)} mode="numeric" sign="h" note={names.hoursHint} />
      <TextField label={names.began} {...form.field('began', began)} type="time" />
      <DayField label={names.ended} {...form.field('day', day)} now={now} />
      <TextField label={names.time} {...form.field('time', day.problem === undefined ? ended : {})} type="time">
        <Button size="walk" onClick={() => form.set({ day: dayOf(Date.now()), time: timeOfDay(Date.now()) })}>
          {names.now}
        </Button>
      </TextField>
      {opens !== undefined && closed.value && (
        <p class="closes" role="status">
          {opens > now ? names.closes(bedList(closed.value), untilWhen(opens)) : names.opensAtOnce}
        </p>
      )}
      <WordsField label={words.form.wordsMore} {...form.field('words', more)} />
    </Frame>
  );
}

/** The ids that a field of the form keeps, with spaces between them. */
function idsIn(form: Form, field: string): string[] {
  return form.at(field).split(' ').filter(Boolean);
}

/** The interval is the label's alone: there is no value that the form starts with. */
function hoursTyped(text: string, name: string): Answer<number> {
  const typed = amount(text, { kind: 'application', field: 'entry_hours', name, measure: 'hours', must: true });
  return typed.value === 0 ? { ...typed, hint: workWords.value.work.hint.zeroHours } : typed;
}

function endTyped(form: Form, day: Answer<string>, now: number): Answer<number> {
  const words = workWords.value.work;
  if (day.problem) return { problem: day.problem };
  const at = momentOf(form.at('day'), form.at('time'));
  if (at === undefined) return { problem: words.typed.missing(words.application.time) };
  if (at > now) return { value: at, hint: words.hint.ended };
  return now - at > DAY_MS ? { value: at, hint: words.hint.longAgo } : { value: at };
}

/** When it began, if somebody says so: a time of day after that of the end was on the evening before. */
function beganTyped(form: Form, ended: number | undefined): Answer<number> {
  if (form.at('began') === '' || ended === undefined) return {};
  const at = momentOf(form.at('day'), form.at('began'));
  if (at === undefined || at <= ended) return at === undefined ? {} : { value: at };
  const before = momentOf(dayIn(-1, ended), form.at('began'));
  return before === undefined ? {} : { value: before, hint: workWords.value.work.application.beganBefore };
}

/** The lots on the chosen beds that it was put on. */
function lotsTyped(form: Form, own: string, beds: readonly string[]): Answer<string[]> {
  const there = lotsOnBeds(beds);
  if (there.length === 0) return {};
  const put = there.filter((lot) => isPutOn(form, own, lot));
  return put.length > 0 ? { value: put } : { problem: workWords.value.work.application.noLots };
}

/** Those that can be asked about: none while records still arrive, since there may be others. */
function lotsOnBeds(beds: readonly string[]): string[] {
  return gettingRecords() === undefined ? [...new Set(beds.flatMap(lotsOn))] : [];
}

/** Every lot of the beds, until somebody says otherwise; where the form is about one lot, that one. */
function isPutOn(form: Form, own: string, lot: string): boolean {
  if (idsIn(form, 'off').includes(lot)) return false;
  return own === '' || lot === own || idsIn(form, 'on').includes(lot);
}

interface LotsProps {
  form: Form;
  own: string;
  beds: readonly string[];
  problem: string | undefined;
}

function LotsPick({ form, own, beds, problem }: LotsProps) {
  const words = workWords.value.work.application;
  const there = lotsOnBeds(beds);
  if (there.length === 0) return null;
  const toggle = (lot: string) => {
    const [to, from] = isPutOn(form, own, lot) ? (['off', 'on'] as const) : (['on', 'off'] as const);
    const without = (field: string) => idsIn(form, field).filter((each) => each !== lot);
    form.set({ [to]: [...without(to), lot].join(' '), [from]: without(from).join(' ') });
  };
  return (
    <Ticks
      label={words.lots}
      hint={words.lotsHint}
      options={there.map((lot) => ({ id: lot, name: nameOfLot(lot) }))}
      isOn={(lot) => isPutOn(form, own, lot)}
      onToggle={toggle}
      problem={problem}
    />
  );
}

function BedsPick({ form, chosen, label }: { form: Form; chosen: readonly string[]; label: string }) {
  const [isWide, setWide] = useState(false);
  const toggle = (bed: string) => {
    const next = chosen.includes(bed) ? chosen.filter((each) => each !== bed) : [...chosen, bed];
    form.set({ beds: next.join(' ') });
  };
  // The beds that the form was opened for stay first, ticked or not.
  const [first] = useState(chosen);
  const all = knownBeds(first);
  const house = beds.value.get(chosen[0] ?? '')?.house;
  // First those of the same house; a person mostly goes from bed to bed, not from house to house.
  const near = all.filter(
    (bed) => chosen.includes(bed.id) || (house !== undefined && beds.value.get(bed.id)?.house === house),
  );
  const shown = isWide || near.length === 0 ? [...near, ...all.filter((bed) => !near.includes(bed))] : near;
  return (
    <Ticks
      label={label}
      options={shown}
      isOn={(bed) => chosen.includes(bed)}
      onToggle={toggle}
      problem={chosen.length === 0 && form.tried ? workWords.value.work.pick.noBed : undefined}
    >
      {shown.length < all.length && (
        <Button size="walk" onClick={() => setWide(true)}>
          {workWords.value.work.application.allBeds}
        </Button>
      )}
    </Ticks>
  );
}

interface TicksProps {
  label: string;
  hint?: string;
  options: readonly { id: string; name: string }[];
  isOn: (id: string) => boolean;
  onToggle: (id: string) => void;
  problem: string | undefined;
  children?: ComponentChildren;
}

/** Beds or lots, as many of them as there were. */
function Ticks({ label, hint, options, isOn, onToggle, problem, children }: TicksProps) {
  return (
    <fieldset class="field beds">
      <legend>{label}</legend>
      {hint && <p class="small quiet">{hint}</p>}
      <div class="many">
        {options.map(({ id, name }) => (
          <label key={id} class="tick">
            <input type="checkbox" checked={isOn(id)} onChange={() => onToggle(id)} />
            <span>{name}</span>
          </label>
        ))}
      </div>
      {children}
      <p class="say small wrong" aria-live="polite">
        {problem && `✕ ${problem}`}
      </p>
    </fieldset>
  );
}
