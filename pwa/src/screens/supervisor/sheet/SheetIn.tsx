import { computed, signal } from '@preact/signals';
import { useEffect, useMemo, useState } from 'preact/hooks';
import { beds, houses, lots, spans } from '../../../journal/records/registers';
import { save } from '../../../journal/outbox/write';
import { Button } from '../../../parts/Button';
import { DataTable, type Column } from '../../../parts/DataTable';
import { say } from '../../../parts/Toast';
import { go, Link } from '../../../router';
import { settings } from '../../../state';
import { supervisorWords } from '../../../words/supervisor';
import { number } from '../../../words/format';
import { held } from '../../../views/views';
import { Page, Section } from '../Page';
import { Trouble } from '../Trouble';
import { NurseryName } from './NurseryName';
import { textOf } from './cells';
import { readSheet, type Reading, type ReadRow, type There, type Units } from './reading';
import { template } from './template';
import '../../../style/supervisor-sheet.css';

const SLOT = 'bedwalk-sheet';
/** Outlives the page, so that looking something up at the beds loses nothing. */
const text = signal(sessionStorage.getItem(SLOT) ?? '');

const there = computed<There>(() => ({
  houses: [...houses.value.values()],
  beds: [...beds.value.values()],
  lots: [...lots.value.values()],
  spans: [...spans.value.values()],
}));

/** A nursery's houses, beds and lots from a spreadsheet, seen row by row before anything is written. */
export default function SheetIn() {
  const words = supervisorWords.value.sheet;
  return (
    <Page
      here="beds"
      title={() => words.title}
      loaded={held(true)}
      onTryAgain={() => location.reload()}
      above={() => <Link to="/beds">{supervisorWords.value.pages.beds}</Link>}
    >
      {() => (
        <>
          <NurseryName />
          <Sheet />
        </>
      )}
    </Page>
  );
}

function Sheet() {
  const words = supervisorWords.value.sheet;
  const units: Units = settings.value.units.length === 'in' ? { long: 'ft', short: 'in' } : { long: 'm', short: 'cm' };
  const typed = text.value;
  const known = there.value;
  const reading = useMemo(
    () => (typed.trim() === '' ? undefined : readSheet(typed, known, units)),
    [typed, known, units.long, words],
  );
  useEffect(() => {
    try {
      sessionStorage.setItem(SLOT, typed);
    } catch {
      // Larger than the browser keeps for a page; it is still on the screen.
    }
  }, [typed]);
  return (
    <Section title={words.from} class="sheet-in">
      <p>{words.intro}</p>
      <p>{words.needed}</p>
      <p class="quiet">{words.again}</p>
      <div class="actions">
        <a class="button plain tap" href={template(units)} download={words.templateName}>
          {words.template}
        </a>
        <label class="button plain tap file">
          {words.file}
          <input
            type="file"
            accept=".csv,.tsv,.txt,text/csv,text/plain"
            onChange={(event) => {
              const [file] = event.currentTarget.files ?? [];
              void file?.arrayBuffer().then((bytes) => (text.value = textOf(bytes)));
              // The same file, put right meanwhile, may be chosen again.
              event.currentTarget.value = '';
            }}
          />
        </label>
        {typed !== '' && (
          <Button kind="quiet" onClick={() => (text.value = '')}>
            {words.clear}
          </Button>
        )}
      </div>
      <label class="ask wide">
        <span>{words.paste}</span>
        <textarea
          rows={8}
          spellcheck={false}
          value={typed}
          onInput={(event) => (text.value = event.currentTarget.value)}
        />
      </label>
      {reading && <Preview reading={reading} />}
    </Section>
  );
}

function Preview({ reading }: { reading: Reading }) {
  const words = supervisorWords.value.sheet;
  const [failed, fail] = useState(false);
  const names = (all: readonly string[]) => all.join(', ');
  const wrong = reading.rows.filter((row) => row.problems.length > 0);
  const put = async () => {
    try {
      await save(reading.intents);
    } catch {
      fail(true);
      return;
    }
    text.value = '';
    say(words.done(reading.beds, reading.lots));
    go('/beds');
  };
  if (reading.lacking.length > 0) {
    return (
      <p class="warning" role="alert">
        {words.lacking(names(reading.lacking.map((heading) => words.heading[heading])))}
      </p>
    );
  }
  return (
    <>
      {reading.others.length > 0 && <p class="stale">{words.others(names(reading.others))}</p>}
      {reading.twice.length > 0 && <p class="warning">{words.twice(names(reading.twice))}</p>}
      {reading.rows.length === 0 ? (
        <p class="stale">{words.noRows}</p>
      ) : (
        <>
          <p role="status">
            {reading.intents.length > 0
              ? words.sum(reading.houses, reading.beds, reading.lots, number(reading.pots))
              : words.sumNone}
          </p>
          {wrong.length > 0 && <Wrong rows={wrong} />}
          <Trouble said={failed ? words.failed : ''} />
          {reading.intents.length > 0 && (
            <Button kind="main" onClick={() => void put()}>
              {words.put}
            </Button>
          )}
          <DataTable
            caption={words.preview}
            columns={columns()}
            rows={reading.rows.filter((row) => row.problems.length === 0)}
            keyOf={(row) => String(row.row)}
          />
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
        {rows.map(({ row, house, bed, problems }) => (
          <li key={row}>
            <b>{words.rowOf(row, [house, bed].filter(Boolean).join(', '))}</b> {problems.join(' ')}
          </li>
        ))}
      </ul>
    </div>
  );
}
