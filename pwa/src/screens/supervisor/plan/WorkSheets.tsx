import { useEffect } from 'preact/hooks';
import type { WorkItem } from '../../../../../schema/types';
import { list, dateTime, there } from '../../../words/format';
import { lotLine } from '../../../words/names';
import { supervisorWords } from '../../../words/supervisor';
import { StepCautions } from '../../../parts/Caution';
import { bedName } from '../names';
import { groupOf, nameOfWork, saidDue } from '../../../words/tasks';

/** What one person has to do; person is "" for what nobody has. */
export interface Sheet {
  person: string;
  name: string;
  items: readonly WorkItem[];
}

interface Props {
  sheets: readonly Sheet[];
  today: string;
  /** When the server computed the list, ms since 1970. */
  at: number;
  onOver: () => void;
}

/** Prints a sheet for each person. The sheets are drawn for the printer alone, and gone after it. */
export function WorkSheets({ sheets, today, at, onOver }: Props) {
  useEffect(() => {
    addEventListener('afterprint', onOver);
    print();
    return () => removeEventListener('afterprint', onOver);
  }, []);
  return (
    <div class="for-printer worksheets">
      {sheets.map((sheet) => (
        <OneSheet key={sheet.person} sheet={sheet} today={today} at={at} />
      ))}
    </div>
  );
}

function OneSheet({ sheet, today, at }: { sheet: Sheet; today: string; at: number }) {
  const words = supervisorWords.value.tasks.sheet;
  return (
    <table class="worksheet">
      {/* A head is printed on every page of a long sheet. */}
      <thead>
        <tr>
          <th colSpan={3}>
            <span class="block name">{sheet.person === '' ? words.forNobody : words.title(sheet.name)}</span>
            <span class="block small">{words.asOf(dateTime(at))}</span>
          </th>
        </tr>
        <tr>
          <th>{words.done}</th>
          <th>{supervisorWords.value.tasks.table.work}</th>
          <th>{words.onBy}</th>
        </tr>
      </thead>
      <tbody>
        <tr class="cautions">
          <td colSpan={3}>
            <StepCautions steps={sheet.items.map(({ step }) => step)} />
          </td>
        </tr>
        {sheet.items.map((item) => (
          <Line key={item.task} item={item} isLate={groupOf(item, today) === 'late'} />
        ))}
      </tbody>
    </table>
  );
}

function Line({ item, isLate }: { item: WorkItem; isLate: boolean }) {
  const words = supervisorWords.value.tasks;
  const beds = item.beds.map(({ name }) => bedName(name));
  const where = [beds.length === 0 ? words.noBed : list(beds), item.lot === '' ? '' : words.pots(item.pots)];
  return (
    <tr>
      <td>
        <span class="tickbox" />
      </td>
      <td>
        <b class="block">{[nameOfWork(item), lotLine(item)].filter(Boolean).join(' · ')}</b>
        <span class="block">{where.filter(Boolean).join(' · ')}</span>
        <span class="block">{saidDue(item)}</span>
        {isLate && <b class="block">{words.sheet.ask}</b>}
        {item.closed_until > Date.now() && (
          <b class="block">{words.sheet.closed(there(dateTime(item.closed_until), item.closed_until))}</b>
        )}
      </td>
      <td />
    </tr>
  );
}
