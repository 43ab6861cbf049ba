import { useState } from 'preact/hooks';
import type { ReadingKeyAsk, ReadingKeyMade } from '../../../../../schema/types';
import { SelectField, TextField } from '../../../forms/fields';
import { Button } from '../../../parts/Button';
import { Choice } from '../../../parts/Choice';
import { supervisorWords } from '../../../words/supervisor';
import { send } from '../../../views/views';
import { Section } from '../Page';
import { Trouble, useSending } from '../Trouble';
import { Once } from './Once';
import { addressOf, isPlainForOthers, nameTyped, tableName } from './tables';

type Use = 'spreadsheet' | 'program';

interface Made {
  name: string;
  table: string | undefined;
  key: string;
}

/** Makes a key, and shows it the one time that it can be seen. */
export function MakeKey({ tables, onMade }: { tables: readonly string[]; onMade: () => void }) {
  const words = supervisorWords.value.programs;
  const [made, set] = useState<Made | undefined>(undefined);
  if (!made) {
    return (
      <Section title={words.make} class="make-key">
        <Form
          tables={tables}
          onMade={(key) => {
            set(key);
            onMade();
          }}
        />
      </Section>
    );
  }
  return (
    <Section title={made.table === undefined ? words.keyTitle(made.name) : words.addressTitle(made.name)}>
      {made.table === undefined ? <KeyOnce made={made} /> : <AddressOnce made={made} table={made.table} />}
      {isPlainForOthers(location) && <p class="attention">{words.plain}</p>}
      <Button onClick={() => set(undefined)}>{words.another}</Button>
    </Section>
  );
}

function AddressOnce({ made, table }: { made: Made; table: string }) {
  const words = supervisorWords.value.programs;
  return (
    <>
      <Once label={words.addressTitle(made.name)} text={addressOf(location.origin, table, made.key)} />
      <p class="attention">{words.addressCaution}</p>
      <p>{words.addressHow}</p>
      <p class="small quiet">{words.addressSafer}</p>
      <p class="small quiet">{words.reach}</p>
    </>
  );
}

function KeyOnce({ made }: { made: Made }) {
  const words = supervisorWords.value.programs;
  return (
    <>
      <Once label={words.keyTitle(made.name)} text={made.key} />
      <p class="attention">{words.keyCaution}</p>
      <p>
        {words.keyHow} <code>Authorization: Bearer {made.key.slice(0, 'bedwalk_read_'.length)}…</code>
      </p>
    </>
  );
}

function Form({ tables, onMade }: { tables: readonly string[]; onMade: (made: Made) => void }) {
  const words = supervisorWords.value.programs;
  const [name, type] = useState('');
  const [use, setUse] = useState<Use>('spreadsheet');
  const [table, setTable] = useState(tables[0] ?? '');
  const [people, setPeople] = useState(false);
  const [tried, setTried] = useState(false);
  const { trouble, attempt } = useSending();
  const written = name.trim();
  const answer = nameTyped(written);
  const isOfPeople = use === 'spreadsheet' && table === 'person';
  const make = async () => {
    setTried(true);
    if (answer.value === undefined) return;
    const ask: ReadingKeyAsk =
      use === 'spreadsheet' ? { name: written, table, people: isOfPeople } : { name: written, people };
    await attempt(async () => {
      const { key } = await send<ReadingKeyMade>('/api/keys', ask);
      onMade({ name: written, table: ask.table, key });
    });
  };
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        void make();
      }}
    >
      <TextField label={words.name} note={words.nameNote} typed={name} answer={answer} tried={tried} onType={type} />
      <Choice
        legend={words.use}
        size="tap"
        options={[
          { value: 'spreadsheet', label: words.spreadsheet, hint: words.spreadsheetHint },
          { value: 'program', label: words.program, hint: words.programHint },
        ]}
        value={use}
        onChoose={setUse}
      />
      {use === 'spreadsheet' ? (
        <>
          <SelectField
            label={words.table}
            value={table}
            options={tables.map((each) => ({ value: each, label: tableName(each) }))}
            onChoose={setTable}
          />
          {isOfPeople && <p class="attention">{words.peopleTable}</p>}
        </>
      ) : (
        <label class="check">
          <input type="checkbox" checked={people} onChange={(event) => setPeople(event.currentTarget.checked)} />
          <span>
            {words.people} <span class="small quiet">{words.peopleNote}</span>
          </span>
        </label>
      )}
      <Trouble said={trouble} />
      <div class="actions">
        <Button kind="main" submit>
          {words.put}
        </Button>
      </div>
    </form>
  );
}
