import { signal } from '@preact/signals';
import { useEffect, useMemo } from 'preact/hooks';
import { Button } from '../../../parts/Button';
import { go } from '../../../router';
import { supervisorWords } from '../../../words/supervisor';
import { held } from '../../../views/views';
import { Page, Section } from '../Page';
import { SetupParts } from '../setup/SetupParts';
import { ChooseFile, PasteCells } from './CellsIn';
import { Imports } from './Imports';
import { sheetUnits, there } from './known';
import { Preview } from './Preview';
import { readSheet, type Answers } from './reading';
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
          source={source.value || words.pasted}
          answers={said}
          onAnswer={(next) => (answers.value = next)}
          onDone={() => {
            begin('', '');
            go('/beds');
          }}
        />
      )}
    </Section>
  );
}
