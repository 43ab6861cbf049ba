import { useMemo, useState } from 'preact/hooks';
import type { Column } from '../../../parts/DataTable';
import { supervisorWords } from '../../../words/supervisor';
import { sheetUnits } from '../sheet/asked';
import { ChooseFile, PasteCells } from '../sheet/CellsIn';
import { bookingHeadings } from '../sheet/headings';
import { Imports } from '../sheet/Imports';
import { Preview } from '../sheet/Preview';
import type { Answers } from '../sheet/reading';
import { readBookings, type BookingRow } from './bookingSheet';

/** Bookings from a spreadsheet, seen row by row before anything is written. */
export function BookingSheetIn({ onDone }: { onDone: () => void }) {
  const words = supervisorWords.value.supply.sheet;
  const sheet = supervisorWords.value.sheet;
  const [text, setText] = useState('');
  const [source, setSource] = useState('');
  const [answers, answer] = useState<Answers>({ columns: {} });
  const units = sheetUnits();
  const reading = useMemo(
    () => (text.trim() === '' ? undefined : readBookings(text, units, Date.now(), answers)),
    [text, units.short, words, answers],
  );
  const begin = (next: string, from: string) => {
    setText(next);
    setSource(from);
    answer({ columns: {} });
  };
  return (
    <div class="sheet-in">
      <p>{words.intro}</p>
      <div class="actions">
        <ChooseFile text={text} onText={begin} />
      </div>
      <PasteCells text={text} onText={setText} />
      {reading && (
        <Preview
          reading={reading}
          headings={bookingHeadings}
          source={source || sheet.pasted}
          form="booking sheet"
          words={{
            sum: words.sum(reading.intents.length),
            put: words.save(reading.intents.length),
            done: words.saved(reading.intents.length),
          }}
          columns={columns()}
          answers={answers}
          onAnswer={answer}
          onDone={onDone}
        />
      )}
      <Imports />
    </div>
  );
}

function columns(): Column<BookingRow>[] {
  const words = supervisorWords.value;
  return [
    {
      key: 'row',
      title: words.sheet.row,
      cell: ({ row }) => row,
      numeric: true,
      heads: true,
      by: ({ row }) => row,
    },
    { key: 'said', title: words.supply.sheet.booking, cell: ({ said }) => said },
  ];
}
