/** What a sheet would add, what has to be put right first, and the button that writes it. */
import { useState } from 'preact/hooks';
import { asImport } from '../../../journal/records/imports';
import { Button } from '../../../parts/Button';
import { Choice } from '../../../parts/Choice';
import { DataTable, type Column } from '../../../parts/DataTable';
import { saveForm } from '../../../forms/saving';
import { supervisorWords } from '../../../words/supervisor';
import { ColumnMatch } from './ColumnMatch';
import type { Known } from './headings';
import { stops, type Answers, type ReadSheet, type SheetRow } from './reading';

/** So many rows are listed; the rest is counted. */
const LISTED = 200;

interface Props<Row extends SheetRow> {
  reading: ReadSheet<Row>;
  /** What its columns may be. */
  headings: readonly Known[];
  /** What the note of it says that it came from. */
  source: string;
  /** The name of the form that it is saved as. */
  form: string;
  /** What it would add, what the button says, and what is said once it has. */
  words: { sum: string; put: string; done: string };
  columns: readonly Column<Row>[];
  answers: Answers;
  onAnswer: (answers: Answers) => void;
  onDone: () => void;
}

export function Preview<Row extends SheetRow>(props: Props<Row>) {
  const { reading, headings, source, form, words: own, columns, answers, onAnswer, onDone } = props;
  const words = supervisorWords.value.sheet;
  const [isSaving, setSaving] = useState(false);
  const [isLeft, leave] = useState(false);
  const names = (all: readonly string[]) => all.join(', ');
  const wrong = reading.rows.filter((row) => row.problems.length > 0);
  const good = reading.rows.filter((row) => row.problems.length === 0);
  const put = async () => {
    setSaving(true);
    if (await saveForm(form, asImport(`${source}: ${own.done}`, reading.intents), own.done)) onDone();
    setSaving(false);
  };
  const stopped = stops(reading);
  return (
    <>
      {reading.twice.length > 0 && <p class="warning">{words.twice(names(reading.twice))}</p>}
      <ColumnMatch
        columns={reading.columns}
        headings={headings}
        onChoose={(at, heading) => onAnswer({ ...answers, columns: { ...answers.columns, [at]: heading } })}
      />
      {reading.order === 'open' && (
        <Choice
          legend={words.order}
          size="tap"
          options={[
            { value: 'day', label: words.dayFirst },
            { value: 'month', label: words.monthFirst },
          ]}
          value={answers.order}
          onChoose={(order) => onAnswer({ ...answers, order })}
        />
      )}
      {reading.order === 'both' && <p class="warning">{words.bothOrders}</p>}
      {stopped !== '' && (
        <p class="warning" role="alert">
          {stopped}
        </p>
      )}
      {stopped === '' && reading.rows.length === 0 && <p class="stale">{words.noRows}</p>}
      {stopped === '' && reading.rows.length > 0 && (
        <>
          <p role="status">{reading.intents.length > 0 ? own.sum : words.sumNone}</p>
          {wrong.length > 0 && <Wrong rows={wrong} />}
          {wrong.length > 0 && reading.intents.length > 0 && (
            <label class="tick">
              <input type="checkbox" checked={isLeft} onChange={() => leave(!isLeft)} />
              <span>{words.leaveOut(wrong.length)}</span>
            </label>
          )}
          {reading.intents.length > 0 && (
            <Button kind="main" disabled={isSaving || (wrong.length > 0 && !isLeft)} onClick={() => void put()}>
              {own.put}
            </Button>
          )}
          <DataTable
            caption={words.preview}
            columns={columns}
            rows={good.slice(0, LISTED)}
            keyOf={(row) => String(row.row)}
          />
          {good.length > LISTED && <p class="small quiet">{words.more(good.length - LISTED)}</p>}
        </>
      )}
    </>
  );
}

/** A list and not part of the table: on a phone the table's last column is out of sight. */
function Wrong({ rows }: { rows: readonly SheetRow[] }) {
  const words = supervisorWords.value.sheet;
  return (
    <div class="warning">
      <p>{words.wrong(rows.length)}</p>
      <ul>
        {rows.slice(0, LISTED).map(({ row, place, problems }) => (
          <li key={row}>
            <b>{words.rowOf(row, place)}</b> {problems.join(' ')}
          </li>
        ))}
      </ul>
      {rows.length > LISTED && <p>{words.more(rows.length - LISTED)}</p>}
    </div>
  );
}
