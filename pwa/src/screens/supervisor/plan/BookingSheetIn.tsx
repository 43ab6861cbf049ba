import { useMemo, useState } from 'preact/hooks';
import { saveForm } from '../../../forms/saving';
import { Button } from '../../../parts/Button';
import { supervisorWords } from '../../../words/supervisor';
import { ChooseFile, PasteCells } from '../sheet/CellsIn';
import { sheetUnits } from '../sheet/known';
import { stops } from '../sheet/reading';
import { Trouble } from '../Trouble';
import { readBookings } from './bookingSheet';

/** Bookings from a spreadsheet, seen row by row before anything is written. */
export function BookingSheetIn({ onDone }: { onDone: () => void }) {
  const words = supervisorWords.value.supply.sheet;
  const sheet = supervisorWords.value.sheet;
  const [text, setText] = useState('');
  const units = sheetUnits();
  const reading = useMemo(
    () => (text.trim() === '' ? undefined : readBookings(text, units, Date.now())),
    [text, units.short, words],
  );
  const adds = reading?.rows.flatMap(({ intent }) => intent ?? []) ?? [];
  const wrong = reading?.rows.filter(({ problems }) => problems.length > 0) ?? [];
  const save = async () => {
    if (await saveForm('booking sheet', adds, words.saved(adds.length))) onDone();
  };
  return (
    <div class="sheet-in">
      <p>{words.intro}</p>
      <div class="actions">
        <ChooseFile text={text} onText={setText} />
      </div>
      <PasteCells text={text} onText={setText} />
      {reading && (
        <>
          <Trouble said={stops(reading)} />
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
