/** A sheet's cells, from a file or pasted. */
import { useState } from 'preact/hooks';
import { SelectField } from '../../../forms/fields';
import { number } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { FileButton } from '../FileButton';
import { Trouble } from '../Trouble';
import { MOST_BYTES, readFile, type FileProblem } from './file';
import { MOST_ROWS } from './reading';
import type { SheetText } from './workbook';
import '../../../style/supervisor-sheet.css';

interface FileProps {
  /** What is read at the moment: it says which sheet of the workbook is chosen. */
  text: string;
  onText: (text: string, from: string) => void;
}

/** Reads a file as text; of a workbook the first sheet, until another is chosen. */
export function ChooseFile({ text, onText }: FileProps) {
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
    onText(sheet.text, name);
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
      <FileButton
        label={words.file}
        accept=".csv,.tsv,.txt,.xlsx,text/csv,text/plain"
        onFile={(file) => void read(file)}
      />
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
          value={chosen.sheets.find((sheet) => sheet.text === text)?.name ?? ''}
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

/** The cells as they are pasted, or as the file gave them: they can be corrected here. */
export function PasteCells({ text, onText }: { text: string; onText: (text: string) => void }) {
  return (
    <label class="ask wide">
      <span>{supervisorWords.value.sheet.paste}</span>
      <textarea rows={8} spellcheck={false} value={text} onInput={(event) => onText(event.currentTarget.value)} />
    </label>
  );
}
