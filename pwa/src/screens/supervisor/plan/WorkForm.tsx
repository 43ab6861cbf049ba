import type { Register, Task, WorkItem } from '../../../../../schema/types';
import { dayOf, isDay } from '../../../forms/days';
import { SelectField, TextField } from '../../../forms/fields';
import { limits } from '../../../../../schema/limits';
import { isGone, knownBeds, knownLots } from '../../../forms/place';
import { problemsOf, wordsTyped, type Answer } from '../../../forms/typed';
import { Button } from '../../../parts/Button';
import { appWords } from '../../../words';
import { nameOfBed, nameOfLot } from '../../../words/names';
import { workWords } from '../../../words/rooms';
import { supervisorWords } from '../../../words/supervisor';
import { DISPUTED, personOf, workAndLot } from '../../../words/tasks';
import { stepOf } from './handOut';
import { leaving, RegisterForm, useRegisterEdit } from '../lot/RegisterEdit';
import '../../../style/supervisor-crops.css';

interface Props {
  /** The piece of work to be changed; undefined for work in one's own words that is not written down yet. */
  item: WorkItem | undefined;
  /** The task as this device knows it, if anybody has written it down. */
  register: Register | undefined;
  /** Everybody to whom work can be handed, by id. */
  names: ReadonlyMap<string, string>;
  onDone: () => void;
}

/** Work in one's own words with its beds, person and day; of a lot's step the person and the day. What was typed stays until it is saved. */
export function WorkForm({ item, register, names, onDone }: Props) {
  const words = supervisorWords.value.tasks.edit;
  const isFree = !item || item.step === '';
  const isNew = item === undefined;
  const shown = (field: string): string => {
    if (!item) return '';
    if (field === 'words') return item.words;
    if (field === 'form') return item.form;
    if (field === 'beds') return (beds(register) ?? []).join(' ');
    if (field === 'due_on') return item.due_is === 'handed' ? item.due : '';
    const person = personOf(item, register);
    return person === DISPUTED ? '' : person;
  };
  const edit = useRegisterEdit('task', item?.task ?? '', item?.lot ?? '', shown, register);
  if (!edit) return <p class="quiet">{appWords.value.common.loading}</p>;
  const said = wordsTyped(edit.at('words'), 'task', 'words', words.words, isFree);
  const on = edit.at('due_on');
  const due = on === shown('due_on') ? {} : dueTyped(on);
  const chosen = edit.at('beds').split(' ').filter(Boolean);
  const problems = problemsOf([...(isFree ? [said] : []), due]);
  const save = async () => {
    const all: Partial<Record<keyof Task, unknown>> = {
      ...(isFree
        ? {
            words: said.value,
            beds: chosen.length === 0 ? null : chosen,
            form: edit.at('form') || null,
          }
        : {}),
      ...(isNew ? { lot: edit.at('lot') || null } : {}),
      person: edit.at('person') || null,
      due_on: on || null,
    };
    const changed = Object.fromEntries(
      Object.entries(all).filter(([field, value]) => (isNew ? value !== null : edit.at(field) !== shown(field))),
    );
    const isChanged = Object.keys(changed).length > 0;
    const name = isFree ? (said.value ?? '') : workAndLot(item);
    if (await edit.save(isChanged ? { ...changed, ...stepOf(item, register) } : {}, words.saved(name))) onDone();
  };
  return (
    <RegisterForm
      edit={edit}
      kind="booking"
      problems={problems}
      onSave={save}
      save={words.save}
      beside={leaving(edit, words.discard, onDone)}
    >
      {isFree && <TextField label={words.words} {...edit.field('words', said)} note={words.wordsNote} />}
      {isNew && (
        <SelectField
          label={words.lot}
          value={edit.at('lot')}
          none={words.noLot}
          options={knownLots().flatMap(({ id }) => (isGone(id) ? [] : [{ value: id, label: nameOfLot(id) }]))}
          onChoose={(id) => edit.type('lot', id)}
        />
      )}
      {isFree && <Beds chosen={chosen} onChoose={(ids) => edit.type('beds', ids.join(' '))} />}
      {isFree && (
        <SelectField
          label={words.form}
          value={edit.at('form')}
          none={words.noForm}
          options={limits.task.form.oneof.map((form) => ({ value: form, label: workWords.value.work.forms[form] }))}
          onChoose={(form) => edit.type('form', form)}
        />
      )}
      <SelectField
        label={supervisorWords.value.tasks.who}
        value={edit.at('person')}
        none={supervisorWords.value.tasks.nobody}
        options={[...names].map(([value, label]) => ({ value, label }))}
        onChoose={(person) => edit.type('person', person)}
      />
      <TextField label={words.due} {...edit.field('due_on', due)} type="date" note={isFree ? '' : words.dueNote} />
    </RegisterForm>
  );
}

/** A new last day lies ahead, or is today. */
function dueTyped(text: string): Answer<string> {
  const words = supervisorWords.value.tasks.edit;
  if (text === '') return {};
  if (!isDay(text)) return { problem: workWords.value.work.typed.date(words.due) };
  return text < dayOf(Date.now()) ? { problem: words.past } : { value: text };
}

function beds(register: Register | undefined): string[] | undefined {
  const value = register?.fields['beds']?.value;
  return Array.isArray(value) ? value.map(String) : undefined;
}

/** The beds that the work is on, each with a button that takes it out; another is chosen from the list. */
function Beds({ chosen, onChoose }: { chosen: readonly string[]; onChoose: (beds: readonly string[]) => void }) {
  const words = supervisorWords.value.tasks.edit;
  const others = knownBeds().filter(({ id }) => !chosen.includes(id));
  return (
    <div class="workbeds">
      <SelectField
        label={words.beds}
        value=""
        none={chosen.length === 0 ? words.noBeds : words.anotherBed}
        options={others.map(({ id, name }) => ({ value: id, label: name }))}
        onChoose={(bed) => bed !== '' && onChoose([...chosen, bed])}
      />
      {chosen.length > 0 && (
        <p class="actions">
          {chosen.map((bed) => (
            <Button
              key={bed}
              aria-label={words.withoutBed(nameOfBed(bed))}
              onClick={() => onChoose(chosen.filter((each) => each !== bed))}
            >
              {nameOfBed(bed)} <span aria-hidden="true">✕</span>
            </Button>
          ))}
        </p>
      )}
    </div>
  );
}
