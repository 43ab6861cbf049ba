import { signal } from '@preact/signals';
import { useEffect, useMemo } from 'preact/hooks';
import { Button } from '../../../parts/Button';
import type { Column } from '../../../parts/DataTable';
import { addressOf } from '../../../forms/place';
import { go, Link } from '../../../router';
import { number } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { held } from '../../../views/views';
import { Page, Section } from '../Page';
import { SetupParts } from '../setup/SetupParts';
import { ChooseFile, PasteCells } from './CellsIn';
import { Imports } from './Imports';
import { sheetUnits } from './asked';
import { headings } from './headings';
import { there } from './placing';
import { Preview } from './Preview';
import { readSheet, type Answers, type ReadRow } from './reading';
import { template } from './template';

const SLOT = 'bedwalk-sheet';
/** Outlives the page, so that looking something up at the beds loses nothing. */
const text = signal(sessionStorage.getItem(SLOT) ?? '');
/** The file that the text came from, and what was said of its columns and dates. */
const source = signal('');
const answers = signal<Answers>({ columns: {} });

/** A nursery's houses, beds and lots from a spreadsheet, seen row by row before anything is written. */
export default function SheetIn() {
  return (
    <Page
      here="setup"
      title={() => supervisorWords.value.sheet.title}
      loaded={held(true)}
      onTryAgain={() => location.reload()}
    >
      {() => (
        <>
          <SetupParts here="in" />
          <Sheet />
          <Imports />
        </>
      )}
    </Page>
  );
}

function begin(next: string, from: string) {
  text.value = next;
  source.value = from;
  answers.value = { columns: {} };
}

function Sheet() {
  const words = supervisorWords.value.sheet;
  const units = sheetUnits();
  const typed = text.value;
  const known = there.value;
  const said = answers.value;
  const reading = useMemo(
    () => (typed.trim() === '' ? undefined : readSheet(typed, known, units, said)),
    [typed, known, units.long, words, said],
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
        <ChooseFile text={typed} onText={begin} />
        {typed === '' && (
          <Link to={addressOf('lot', {})} class="button quiet tap">
            {words.oneLot}
          </Link>
        )}
        {typed !== '' && (
          <Button kind="quiet" onClick={() => begin('', '')}>
            {words.clear}
          </Button>
        )}
      </div>
      <PasteCells text={typed} onText={(next) => (text.value = next)} />
      {reading && (
        <Preview
          reading={reading}
          headings={headings}
          form="sheet"
          words={{
            sum: words.sum(reading.houses, reading.beds, reading.lots, number(reading.pots)),
            put: words.put,
            done: words.done(reading.beds, reading.lots),
          }}
          columns={columns()}
          source={source.value || words.pasted}
          answers={said}
          onAnswer={(next) => (answers.value = next)}
          onDone={() => {
            begin('', '');
            go('/beds?part=plan');
          }}
        />
      )}
    </Section>
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
