import { signal } from '@preact/signals';
import { useEffect, useMemo, useState } from 'preact/hooks';
import { SelectField } from '../../../forms/fields';
import { Button } from '../../../parts/Button';
import { go } from '../../../router';
import { supervisorWords } from '../../../words/supervisor';
import { number } from '../../../words/format';
import { held } from '../../../views/views';
import { Page, Section } from '../Page';
import { Trouble } from '../Trouble';
import { SetupParts } from '../setup/SetupParts';
import { MOST_BYTES, readFile, type FileProblem } from './file';
import { Imports } from './Imports';
import { sheetUnits, there } from './known';
import { Preview } from './Preview';
import { MOST_ROWS, readSheet, type Answers } from './reading';
import { template } from './template';
import type { SheetText } from './workbook';
import '../../../style/supervisor-sheet.css';

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
        <ChooseFile />
        {typed !== '' && (
          <Button kind="quiet" onClick={() => begin('', '')}>
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

function ChooseFile() {
  const words = supervisorWords.value.sheet;
  const [state, setState] = useState<'reading' | FileProblem | 'rows' | ''>('');
  const [chosen, choose] = useState<{ name: string; sheets: readonly SheetText[] } | undefined>(undefined);
  const take = (name: string, sheet: SheetText | undefined) => {
    if (!sheet) return;
    // So much would only make the page slow: it is refused below in any case.
    if (sheet.rows > MOST_ROWS + 1 || sheet.text.split('\n', MOST_ROWS * 2).length >= MOST_ROWS * 2) {
      setState('rows');
      return;
    }
    begin(sheet.text, name);
  };
  const read = async (file: File) => {
    setState('reading');
    choose(undefined);
    const found = await readFile(file);
    if ('problem' in found) {
      setState(found.problem);
      return;
    }
    setState('');
    if (found.sheets.length > 1) choose({ name: file.name, sheets: found.sheets });
    take(file.name, found.sheets[0]);
  };
  return (
    <>
      <label class="button plain tap file">
        {words.file}
        <input
          type="file"
          accept=".csv,.tsv,.txt,.xlsx,text/csv,text/plain"
          onChange={(event) => {
            const [file] = event.currentTarget.files ?? [];
            if (file) void read(file);
            // The same file, put right meanwhile, may be chosen again.
            event.currentTarget.value = '';
          }}
        />
      </label>
      {state === 'reading' && <p role="status">{words.reading}</p>}
      {state !== 'reading' && state !== '' && (
        <Trouble
          said={
            state === 'rows'
              ? words.tooMany(number(MOST_ROWS))
              : words.fileProblem[state](`${number(MOST_BYTES / 1e6)} MB`)
          }
        />
      )}
      {chosen && (
        <SelectField
          label={words.whichSheet}
          value={chosen.sheets.find((sheet) => sheet.text === text.value)?.name ?? ''}
          none={words.chooseSheet}
          options={chosen.sheets.map(({ name }) => ({ value: name, label: name }))}
          onChoose={(name) =>
            take(
              chosen.name,
              chosen.sheets.find((sheet) => sheet.name === name),
            )
          }
        />
      )}
    </>
  );
}
