/** What a sheet would add, what has to be put right first, and the button that writes it. */
import { useState } from 'preact/hooks';
import { asImport } from '../../../journal/records/imports';
import { Button } from '../../../parts/Button';
import { Choice } from '../../../parts/Choice';
import { DataTable, type Column } from '../../../parts/DataTable';
import { saveForm } from '../../../forms/saving';
import { supervisorWords } from '../../../words/supervisor';
import { number } from '../../../words/format';
import { ColumnMatch } from './ColumnMatch';
import { stops, type Answers, type Reading, type ReadRow } from './reading';

/** So many rows are listed; the rest is counted. */
const LISTED = 200;

interface Props {
  reading: Reading;
  /** What the note of it says that it came from. */
  source: string;
  answers: Answers;
  onAnswer: (answers: Answers) => void;
  onDone: () => void;
}

export function Preview({ reading, source, answers, onAnswer, onDone }: Props) {
  const words = supervisorWords.value.sheet;
  const [isSaving, setSaving] = useState(false);
  const [isLeft, leave] = useState(false);
  const names = (all: readonly string[]) => all.join(', ');
  const wrong = reading.rows.filter((row) => row.problems.length > 0);
  const good = reading.rows.filter((row) => row.problems.length === 0);
  const put = async () => {
    setSaving(true);
    const said = words.done(reading.beds, reading.lots);
    if (await saveForm('sheet', asImport(`${source}: ${said}`, reading.intents), said)) onDone();
    setSaving(false);
  };
  const stopped = stops(reading);
  return (
    <>
      {reading.twice.length > 0 && <p class="warning">{words.twice(names(reading.twice))}</p>}
      <ColumnMatch
        columns={reading.columns}
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
          <p role="status">
            {reading.intents.length > 0
              ? words.sum(reading.houses, reading.beds, reading.lots, number(reading.pots))
              : words.sumNone}
          </p>
          {wrong.length > 0 && <Wrong rows={wrong} />}
          {wrong.length > 0 && reading.intents.length > 0 && (
            <label class="tick">
              <input type="checkbox" checked={isLeft} onChange={() => leave(!isLeft)} />
              <span>{words.leaveOut(wrong.length)}</span>
            </label>
          )}
          {reading.intents.length > 0 && (
            <Button kind="main" disabled={isSaving || (wrong.length > 0 && !isLeft)} onClick={() => void put()}>
              {words.put}
            </Button>
          )}
          <DataTable
            caption={words.preview}
            columns={columns()}
            rows={good.slice(0, LISTED)}
            keyOf={(row) => String(row.row)}
          />
          {good.length > LISTED && <p class="small quiet">{words.more(good.length - LISTED)}</p>}
        </>
      )}
    </>
  );
}

function columns(): Column<ReadRow>[] {
  const words = supervisorWords.value.sheet;
  const { heading } = words;
  return [
    { key: 'row', title: words.row, cell: ({ row }) => row, numeric: true, heads: true, by: ({ row }) => row },
    { key: 'house', title: heading.house, cell: ({ house }) => house, whole: true },
    { key: 'bed', title: heading.bed, cell: ({ bed }) => bed, whole: true },
    { key: 'lot', title: heading.lot, cell: ({ lot }) => lot, whole: true },
    { key: 'cultivar', title: heading.cultivar, cell: ({ cultivar }) => cultivar },
    { key: 'pots', title: heading.pots, cell: ({ pots }) => (pots > 0 ? number(pots) : ''), numeric: true },
    { key: 'adds', title: words.adds, cell: adds },
  ];
}

function adds(row: ReadRow): string {
  const words = supervisorWords.value.sheet;
  return row.adds.length > 0 ? row.adds.map((what) => words.add[what]).join(', ') : words.addsNothing;
}

/** A list and not part of the table: on a phone the table's last column is out of sight. */
function Wrong({ rows }: { rows: readonly ReadRow[] }) {
  const words = supervisorWords.value.sheet;
  return (
    <div class="warning">
      <p>{words.wrong(rows.length)}</p>
      <ul>
        {rows.slice(0, LISTED).map(({ row, house, bed, problems }) => (
          <li key={row}>
            <b>{words.rowOf(row, [house, bed].filter(Boolean).join(', '))}</b> {problems.join(' ')}
          </li>
        ))}
      </ul>
      {rows.length > LISTED && <p>{words.more(rows.length - LISTED)}</p>}
    </div>
  );
}
