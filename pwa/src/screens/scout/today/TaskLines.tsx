import { useEffect, useState } from 'preact/hooks';
import type { Register, WorkItem, WorkView } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { StepCaution } from '../../../parts/StepCaution';
import { go } from '../../../router';
import { me } from '../../../state';
import { refresh, useOnce } from '../../../views/views';
import { list, untilWhen } from '../../../words/format';
import { lotLine, nameOfBed } from '../../../words/names';
import { supervisorWords } from '../../../words/supervisor';
import { nameOfWork, saidDue } from '../../../words/tasks';
import { closedNow } from '../closed';
import { isOneTap, tickTask } from './tickTask';

const PATH = 'work';
/** More would push the beds from the screen. */
const MOST = 3;

/** What was handed to this person, the earliest day first: the server's list as last seen, without what was ticked here since. */
export function TaskLines({ mine }: { mine: ReadonlyMap<string, Register> }) {
  const words = supervisorWords.value.tasks;
  const view = useOnce<WorkView>(PATH);
  // Work that was handed out since is not in the list of before.
  const isMissing = view !== undefined && [...mine.keys()].some((id) => !view.items.some(({ task }) => task === id));
  useEffect(() => void (isMissing && refresh(PATH)), [isMissing, [...mine.keys()].join(' ')]);
  const items = (view?.items ?? []).filter(({ task, ticks }) => mine.has(task) && ticks.length === 0);
  if (!view || items.length === 0) return null;
  const shown = items.slice(0, MOST);
  const steps = [...new Set(shown.map(({ step }) => step))];
  return (
    <section class="mytasks">
      <h2>{words.mine.title}</h2>
      <p class="small quiet">{words.mine.asOf(untilWhen(view.made_at))}</p>
      <ul>
        {shown.map((item) => (
          <Line key={item.task} item={item} register={mine.get(item.task) as Register} />
        ))}
      </ul>
      {items.length > MOST && <p class="small">{words.mine.more(items.length - MOST)}</p>}
      {steps.map((step) => (
        <StepCaution key={step} step={step} />
      ))}
    </section>
  );
}

function Line({ item, register }: { item: WorkItem; register: Register }) {
  const words = supervisorWords.value.tasks;
  const [isSaving, setSaving] = useState(false);
  const until = Math.max(...item.beds.map(({ bed }) => closedNow(bed)), 0);
  const beds = item.beds.length === 0 ? words.noBed : list(item.beds.map(({ bed }) => nameOfBed(bed)));
  const [work, lot] = [nameOfWork(item), lotLine(item)];
  const tick = async () => {
    setSaving(true);
    await tickTask(item, register, me.value?.person ?? '', words.mine.said(work, lot));
    setSaving(false);
  };
  return (
    <li>
      <div>
        <b>{[work, lot].filter(Boolean).join(' · ')}</b>
        {item.lot !== '' && <p>{`${beds} · ${words.pots(item.pots)}`}</p>}
        <p class={item.late_days > 0 ? 'small attention' : 'small quiet'}>
          {saidDue(item)}
          {item.late_days > 0 && `. ${words.mine.ask}`}
        </p>
        {until > 0 && <p class="attention">{words.closed(untilWhen(until))}</p>}
      </div>
      {until === 0 &&
        (isOneTap(item) ? (
          <Button size="walk" disabled={isSaving} onClick={() => void tick()}>
            {words.mine.done}
          </Button>
        ) : (
          <Button size="walk" onClick={() => go(item.lot === '' ? '/work' : `/lot/${item.lot}`)}>
            {words.mine.open}
          </Button>
        ))}
    </li>
  );
}
