/** Who works here: added many at once, renamed, and taken off the list when they leave. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { checkField } from '../../../../../schema/check';
import type { Person } from '../../../../../schema/types';
import { people, seenOf, type Plain } from '../../../journal/records/registers';
import { randomId } from '../../../journal/store/device';
import { intent } from '../../../journal/outbox/write';
import { saveForm } from '../../../forms/saving';
import { SelectField, TextField, WordsField } from '../../../forms/fields';
import { wordsTyped } from '../../../forms/typed';
import { Button } from '../../../parts/Button';
import { firstField, goToRow, placeAfter, useFocusBack } from '../../../parts/focus';
import { Link } from '../../../router';
import { me } from '../../../state';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { peopleHere } from '../names';
import { Section } from '../Page';

export function People() {
  const words = supervisorWords.value.nursery.people;
  const gone = [...people.value.values()].filter(({ left }) => left === true);
  return (
    <>
      <AddPeople />
      <Section title={words.here}>
        <ul class="ruled narrow">
          {peopleHere().map(({ id }) => (
            <OnePerson key={id} person={people.value.get(id)} />
          ))}
        </ul>
        <p>
          <Link to="/phones" class="button plain tap">
            {words.toPhones}
          </Link>
        </p>
      </Section>
      {gone.length > 0 && (
        <Section title={words.gone}>
          <p class="small quiet">{words.goneNote}</p>
          <ul class="ruled narrow">
            {gone.map((person) => (
              <OnePerson key={person.id} person={person} />
            ))}
          </ul>
        </Section>
      )}
    </>
  );
}

function AddPeople() {
  const words = supervisorWords.value.nursery.people;
  const [typed, type] = useState('');
  const [role, setRole] = useState<'scout' | 'supervisor'>('scout');
  const known = peopleHere().map(({ name }) => name);
  const { fresh, there, wrong } = namesIn(typed, known);
  const put = async () => {
    const notes = fresh.map((name) => intent('person', { of: randomId(), name, role }));
    if (!(await saveForm('many people', notes, words.added(fresh.length)))) return;
    type('');
    // The button is disabled until more names are typed.
    document.querySelector<HTMLElement>('.add-people textarea')?.focus();
  };
  return (
    <Section title={words.add} class="add-people">
      <WordsField label={words.names} typed={typed} answer={{}} tried={false} rows={4} onType={type} />
      <SelectField
        label={words.role}
        value={role}
        options={(['scout', 'supervisor'] as const).map((each) => ({
          value: each,
          label: appWords.value.common.roles[each],
        }))}
        onChoose={(each) => setRole(each as typeof role)}
      />
      <p class="small quiet">{words.roleNote}</p>
      <div role="status">
        {fresh.length > 0 && <p>{words.planned(fresh.join(', '))}</p>}
        {there.length > 0 && <p class="attention">{words.there(there.join(', '))}</p>}
        {wrong.length > 0 && <p class="attention">{words.tooLong(wrong.join(', '))}</p>}
      </div>
      <Button kind="main" disabled={fresh.length === 0 || wrong.length > 0} onClick={() => void put()}>
        {words.put(fresh.length)}
      </Button>
    </Section>
  );
}

function OnePerson({ person }: { person: Plain<Person> | undefined }) {
  const words = supervisorWords.value.nursery.people;
  const [typed, type] = useState<string | undefined>(undefined);
  if (!person) return null;
  const { id, name = appWords.value.common.unknown, role, left } = person;
  const write = async (changes: Partial<Person>, said: string) => {
    const body = { of: id, saw: seenOf('person', id, Object.keys(changes)), ...changes };
    if (await saveForm(`person ${id}`, [intent('person', body)], said)) type(undefined);
  };
  const isOther = id !== me.value?.person;
  return (
    <li data-row={id}>
      {typed === undefined ? (
        <span key="name">
          <b>{name}</b> <span class="quiet">{role && appWords.value.common.roles[role]}</span>
          {!isOther && <span class="quiet"> · {words.you}</span>}
        </span>
      ) : (
        <Rename
          typed={typed}
          name={name}
          onType={type}
          onSave={(called) => void write({ name: called }, words.saved)}
        />
      )}
      <span key="actions" class="actions">
        {!left && (role !== 'owner' || me.value?.role === 'owner') && (
          <Link to={`/phones?pair=${id}`} class="button quiet tap" aria-label={words.toPhonesOf(name)}>
            {words.toPhones}
          </Link>
        )}
        <Button onClick={() => type(typed === undefined ? name : undefined)} aria-label={words.renameOf(name)}>
          {typed === undefined ? words.rename : appWords.value.common.cancel}
        </Button>
        {isOther && (
          <Button
            kind="quiet"
            aria-label={left ? words.backOf(name) : words.leftOf(name)}
            onClick={({ currentTarget }) => {
              // The row moves to the other list: after taking a person off, to the next one; after bringing one back, to that one.
              const goOn = left ? () => goToRow(id) : placeAfter(currentTarget.closest('li'));
              void write({ left: !left }, left ? words.isBack(name) : words.hasLeft(name)).then(goOn);
            }}
          >
            {left ? words.back : words.left}
          </Button>
        )}
      </span>
    </li>
  );
}

interface RenameProps {
  typed: string;
  name: string;
  onType: (typed: string) => void;
  onSave: (name: string) => void;
}

function Rename({ typed, name, onType, onSave }: RenameProps) {
  const words = supervisorWords.value.nursery.people;
  const form = useRef<HTMLFormElement>(null);
  useFocusBack();
  useEffect(() => firstField(form.current)?.focus(), []);
  const answer = wordsTyped(typed, 'person', 'name', words.name, true);
  return (
    <form
      ref={form}
      onSubmit={(event) => {
        event.preventDefault();
        if (answer.value) onSave(answer.value);
      }}
    >
      <TextField label={words.name} typed={typed} answer={answer} tried onType={onType} />
      <Button submit kind="main" disabled={answer.problem !== undefined || typed.trim() === name}>
        {words.save}
      </Button>
    </form>
  );
}

/** Names as they are pasted, a line or a comma each: those that are new, those that somebody has already, and those that are too long. */
export function namesIn(typed: string, known: readonly string[]): Record<'fresh' | 'there' | 'wrong', string[]> {
  const same = (a: string) => a.toLocaleLowerCase();
  const taken = new Set(known.map(same));
  const all: Record<'fresh' | 'there' | 'wrong', string[]> = { fresh: [], there: [], wrong: [] };
  for (const name of typed.split(/[\n,;\t]/).map((each) => each.trim().replace(/\s+/g, ' '))) {
    if (name === '') continue;
    if (checkField('person', 'name', name)) all.wrong.push(name);
    else if (taken.has(same(name))) all.there.push(name);
    else {
      taken.add(same(name));
      all.fresh.push(name);
    }
  }
  return all;
}
