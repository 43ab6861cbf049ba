import { useMemo, useState } from 'preact/hooks';
import { saveForm } from '../../../forms/saving';
import { Button } from '../../../parts/Button';
import { number } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { MOST_BYTES, readFile } from '../sheet/file';
import { sheetUnits } from '../sheet/known';
import { MOST_ROWS } from '../sheet/reading';
import { Trouble } from '../Trouble';
import { readBookings } from './bookingSheet';
import '../../../style/supervisor-sheet.css';

/** Bookings from a spreadsheet, seen row by row before anything is written. */
export function BookingSheetIn({ onDone }: { onDone: () => void }) {
  const words = supervisorWords.value.supply.sheet;
  const sheet = supervisorWords.value.sheet;
  const [text, setText] = useState('');
  const [trouble, setTrouble] = useState('');
  const units = sheetUnits();
  const tooMany = text.split('\n', MOST_ROWS + 2).length > MOST_ROWS + 1;
  const reading = useMemo(
    () => (text.trim() === '' || tooMany ? undefined : readBookings(text, units, Date.now())),
    [text, units.short, words],
  );
  const adds = reading?.rows.flatMap(({ intent }) => intent ?? []) ?? [];
  const wrong = reading?.rows.filter(({ problems }) => problems.length > 0) ?? [];
  const read = async (file: File) => {
    const found = await readFile(file);
    setTrouble('problem' in found ? sheet.fileProblem[found.problem](`${number(MOST_BYTES / 1e6)} MB`) : '');
    if (!('problem' in found)) setText(found.sheets[0]?.text ?? '');
  };
  const save = async () => {
    if (await saveForm('booking sheet', adds, words.saved(adds.length))) onDone();
  };
  return (
    <div class="sheet-in">
      <p>{words.intro}</p>
      <div class="actions">
        <label class="button plain tap file">
          {sheet.file}
          <input
            type="file"
            accept=".csv,.tsv,.txt,.xlsx,text/csv,text/plain"
            onChange={(event) => {
              const [file] = event.currentTarget.files ?? [];
              if (file) void read(file);
              event.currentTarget.value = '';
            }}
          />
        </label>
      </div>
      <Trouble said={tooMany ? sheet.tooMany(number(MOST_ROWS)) : trouble} />
      <label class="ask wide">
        <span>{sheet.paste}</span>
        <textarea rows={6} spellcheck={false} value={text} onInput={(event) => setText(event.currentTarget.value)} />
      </label>
      {reading && (
        <>
          {reading.lacking.length > 0 && <p class="attention">{sheet.lacking(reading.lacking.join(', '))}</p>}
          {reading.others.length > 0 && <p>{words.others(reading.others.join(', '))}</p>}
          {wrong.length > 0 && <p class="attention">{words.wrong(wrong.length)}</p>}
          <ul>
            {reading.rows.map(({ row, said, problems }) => (
              <li key={row}>
                <b>{sheet.rowOf(row, '')}</b> {problems.length > 0 ? problems.join(' ') : said}
              </li>
            ))}
          </ul>
          <p class="actions">
            <Button kind="main" disabled={adds.length === 0} onClick={() => void save()}>
              {words.save(adds.length)}
            </Button>
          </p>
        </>
      )}
    </div>
  );
}
