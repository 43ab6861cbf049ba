import { useEffect } from 'preact/hooks';
import type { Register, WorkView } from '../../../../../schema/types';
import { dayOf } from '../../../forms/days';
import { StepCautions } from '../../../parts/Caution';
import { say } from '../../../parts/Toast';
import { me } from '../../../state';
import { refresh, useOnce, WORK } from '../../../views/views';
import { untilWhen } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { workAndLot } from '../../../words/tasks';
import { rowsNow, type Row } from '../tasks/itemsNow';
import { TaskLine } from '../tasks/TaskLine';
import { tickTask } from '../tasks/tickTask';
import '../../../style/tasks.css';

/** More would push the beds from the screen. */
const MOST = 3;

/** What was handed to this person, the earliest day first: the server's list as last seen, without what was ticked here since. */
export function TaskLines({ mine }: { mine: ReadonlyMap<string, Register> }) {
  const words = supervisorWords.value.tasks;
  const view = useOnce<WorkView>(WORK);
  // Work that was handed out since is not in the list of before.
  const isMissing = view !== undefined && [...mine.keys()].some((id) => !view.items.some(({ task }) => task === id));
  useEffect(() => void (isMissing && refresh(WORK)), [isMissing, [...mine.keys()].join(' ')]);
  if (!view) return null;
  const rows = rowsNow(view, mine, Date.now()).filter(({ item }) => mine.has(item.task) && item.ticks.length === 0);
  if (rows.length === 0) return null;
  const shown = rows.slice(0, MOST);
  const tick = async ({ item, register }: Row) => {
    const undo = await tickTask(item, register, me.value?.person ?? '', dayOf(Date.now()));
    if (undo) say(words.done(workAndLot(item), words.today), () => void undo());
  };
  return (
    <section class="mytasks">
      <h2>{words.mine.title}</h2>
      <p class="small quiet">{words.mine.asOf(untilWhen(view.made_at))}</p>
      <ul>
        {shown.map((row) => (
          <TaskLine key={row.item.task} row={row} onDone={() => tick(row)} />
        ))}
      </ul>
      {rows.length > MOST && <p class="small">{words.mine.more(rows.length - MOST)}</p>}
      <StepCautions steps={shown.map(({ item }) => item.step)} isShort />
    </section>
  );
}
