import { useState } from 'preact/hooks';
import type { Holiday, Site } from '../../../../../schema/types';
import { isDay } from '../../../forms/days';
import { SelectField, TextField } from '../../../forms/fields';
import { problemsOf, wordsTyped, type Answer } from '../../../forms/typed';
import { sites, type Plain } from '../../../journal/records/registers';
import { Button } from '../../../parts/Button';
import { day, list, locale } from '../../../words/format';
import { workWords } from '../../../words/rooms';
import { supervisorWords } from '../../../words/supervisor';
import { changedFrom, leaving, RegisterForm, useRegisterEdit } from '../lot/RegisterEdit';
import { Section } from '../Page';
import '../../../style/supervisor-crops.css';

const WEEKDAYS = [1, 2, 3, 4, 5, 6, 7] as const;
const MONDAY = 1;

/** The days on which people work, which the plan moves steps to, and the day of a ship week by which pots must be ready. */
export function WorkingDays() {
  const words = supervisorWords.value.nursery.workingDays;
  const [edits, setEdits] = useState(false);
  const [site] = sites.value.values();
  const holidays = inOrder(site?.holidays ?? []);
  return (
    <Section title={words.title}>
      <p class="intro quiet">{words.intro}</p>
      {edits ? (
        <Edit site={site} onDone={() => setEdits(false)} />
      ) : (
        <>
          <p class="intro">
            {site?.workdays
              ? words.work(list(site.workdays.toSorted().map((each) => nameOfWeekday(each))))
              : words.everyDay}{' '}
            {site?.ship_weekday
              ? words.ship(nameOfWeekday(site.ship_weekday))
              : words.shipUnsaid(nameOfWeekday(MONDAY))}
          </p>
          {holidays.length === 0 ? (
            <p class="quiet">{words.none}</p>
          ) : (
            <ul class="working-dates">
              {holidays.map(({ on, name }) => (
                <li key={`${on} ${name}`}>{words.holiday(day(on), name)}</li>
              ))}
            </ul>
          )}
          <p class="actions">
            <Button disabled={!site} onClick={() => setEdits(true)}>
              {words.change}
            </Button>
          </p>
        </>
      )}
    </Section>
  );
}

function Edit({ site, onDone }: { site: Plain<Site> | undefined; onDone: () => void }) {
  const words = supervisorWords.value.nursery.workingDays;
  const [on, setOn] = useState('');
  const [name, setName] = useState('');
  const shown = (field: string) => {
    if (field === 'workdays') return (site?.workdays ?? WEEKDAYS).toSorted().join(' ');
    if (field === 'ship_weekday') return String(site?.ship_weekday ?? '');
    return JSON.stringify(inOrder(site?.holidays ?? []));
  };
  const edit = useRegisterEdit('site', site?.id ?? '', '', shown);
  if (!edit) return null;
  const workdays = edit.at('workdays').split(' ').filter(Boolean).map(Number);
  const holidays = JSON.parse(edit.at('holidays')) as Holiday[];
  const typeHolidays = (next: readonly Holiday[]) => edit.type('holidays', JSON.stringify(inOrder(next)));
  const dayAsked: Answer<string> = isDay(on)
    ? { value: on }
    : { problem: workWords.value.work.typed.missing(words.on) };
  const nameAsked = wordsTyped(name, 'site', 'holidays[].name', words.name, true);
  const isTwice = holidays.some((each) => each.on === on);
  const isHalf = on !== '' || name !== '';
  const problems = [
    ...(workdays.length === 0 ? [words.noDay] : []),
    ...(isHalf ? [words.addFirst] : []),
    ...problemsOf(isHalf ? [dayAsked, nameAsked] : []),
  ];
  const add = () => {
    if (dayAsked.value === undefined || nameAsked.value === undefined || isTwice) return edit.form.trying();
    typeHolidays([...holidays, { on: dayAsked.value, name: nameAsked.value }]);
    setOn('');
    setName('');
  };
  const save = async () => {
    const all = {
      workdays: sameAs(workdays, site?.workdays ?? WEEKDAYS) ? site?.workdays : workdays,
      ship_weekday: edit.at('ship_weekday') === '' ? undefined : Number(edit.at('ship_weekday')),
      holidays: sameAs(holidays, inOrder(site?.holidays ?? [])) ? site?.holidays : holidays,
    };
    if (await edit.save(changedFrom<unknown>(site, all), words.saved)) onDone();
  };
  return (
    <RegisterForm
      edit={edit}
      kind="working-days"
      problems={problems}
      onSave={save}
      save={words.save}
      beside={leaving(edit, words.cancel, onDone)}
    >
      <fieldset class="field beds">
        <legend>{words.worked}</legend>
        <div class="many">
          {WEEKDAYS.map((each) => (
            <label key={each} class="tick">
              <input
                type="checkbox"
                checked={workdays.includes(each)}
                onChange={() =>
                  edit.type('workdays', WEEKDAYS.filter((one) => workdays.includes(one) !== (one === each)).join(' '))
                }
              />
              <span>{nameOfWeekday(each)}</span>
            </label>
          ))}
        </div>
      </fieldset>
      <SelectField
        label={words.shipDay}
        value={edit.at('ship_weekday')}
        none={words.shipNone(nameOfWeekday(MONDAY))}
        options={WEEKDAYS.map((each) => ({ value: String(each), label: nameOfWeekday(each) }))}
        onChoose={(each) => edit.type('ship_weekday', each)}
      />
      <h3>{words.holidays}</h3>
      {holidays.length === 0 && <p class="quiet">{words.none}</p>}
      <ul>
        {holidays.map((each) => (
          <li key={`${each.on} ${each.name}`}>
            {words.holiday(day(each.on), each.name)}{' '}
            <Button kind="quiet" onClick={() => typeHolidays(holidays.filter((one) => one !== each))}>
              {words.remove(each.name)}
            </Button>
          </li>
        ))}
      </ul>
      <TextField
        label={words.on}
        type="date"
        typed={on}
        answer={isTwice ? { problem: words.twice } : dayAsked}
        tried={false}
        onType={setOn}
      />
      <TextField label={words.name} typed={name} answer={nameAsked} tried={false} capitals="words" onType={setName} />
      <p class="actions">
        <Button onClick={add}>{words.add}</Button>
      </p>
    </RegisterForm>
  );
}

/** "Monday" for 1: the first of January 2024 was one. */
function nameOfWeekday(number: number): string {
  return new Intl.DateTimeFormat(locale(), { weekday: 'long', timeZone: 'UTC' }).format(Date.UTC(2024, 0, number));
}

function inOrder(holidays: readonly Holiday[]): Holiday[] {
  return holidays.toSorted((a, b) => a.on.localeCompare(b.on) || a.name.localeCompare(b.name));
}

function sameAs(a: unknown, b: unknown): boolean {
  return JSON.stringify(a) === JSON.stringify(b);
}
