/** The phone's list of all work, out of range too: whose it is, by its day or by bed, ticked here and taken back. */
import { signal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { WorkView } from '../../../../../schema/types';
import { dayOf } from '../../../forms/days';
import { useStored } from '../../../journal/records/read';
import { readTasks } from '../../../journal/records/tasks';
import { Button } from '../../../parts/Button';
import { Choice } from '../../../parts/Choice';
import { StepCautions } from '../../../parts/Caution';
import { Title } from '../../../router';
import { me, online, queue } from '../../../state';
import { unsay } from '../../../parts/Toast';
import { whenSent } from '../sending';
import { refresh, useOnce, WORK } from '../../../views/views';
import { appWords } from '../../../words';
import { day, untilWhen } from '../../../words/format';
import { nameOfBed } from '../../../words/names';
import { supervisorWords } from '../../../words/supervisor';
import { workAndLot } from '../../../words/tasks';
import { Bar } from '../Bar';
import { AskDay } from './AskDay';
import { TaskLine } from './TaskLine';
import { phoneGroupOf, phoneGroups, rowsNow, type Row } from './itemsNow';
import { tickTask } from './tickTask';
import '../../../style/tasks.css';

const shownKinds = ['mine', 'all', 'beds'] as const;
type Shown = (typeof shownKinds)[number];

/** Stays as it was chosen while a form is filled in. */
const chosen = signal<Shown>('mine');

/** What was ticked last and how it is taken back: it stays at the foot until something else is ticked. */
const last = signal<{ said: string; undo: () => Promise<boolean> } | undefined>(undefined);

export function WorkList() {
  const words = supervisorWords.value.tasks;
  const view = useOnce<WorkView>(WORK);
  const tasks = useStored(readTasks, [], 'task');
  const now = useNow();
  const shown = chosen.value;
  const [asks, ask] = useState(false);
  const [dayFor, askDay] = useState<Row | undefined>(undefined);
  useEffect(() => void refresh(WORK), []);
  const rows = tasks ? rowsNow(view, tasks, now) : [];
  const open = rows.filter(({ item }) => item.ticks.length === 0);
  const person = me.value?.person ?? '';
  const isMine = ({ item }: Row) =>
    item.person === person || item.ticks.some(({ by }) => by === person && item.person === '');
  const some = shown === 'mine' ? rows.filter(isMine) : rows;
  const tick = async (row: Row, on: string) => {
    const undo = await tickTask(row.item, row.register, person, on);
    const said = words.done(workAndLot(row.item), on === dayOf(Date.now()) ? words.today : day(on));
    if (!undo) return;
    // What was said of the tick before is over.
    unsay();
    last.value = { said, undo };
  };
  const line = (row: Row) => (
    <TaskLine
      key={row.item.task}
      row={row}
      withPerson={shown !== 'mine'}
      onDone={async () => (asks ? askDay(row) : tick(row, dayOf(Date.now())))}
      onAskDay={() => askDay(row)}
    />
  );
  return (
    <main class={last.value ? 'scout tasklist with-bar with-undo' : 'scout tasklist with-bar'}>
      <header>
        <Title text={words.title} />
        <p class="small quiet">{head(view, rows)}</p>
      </header>
      <Choice
        legend={words.list.shown}
        legendUnseen
        options={[
          { value: 'mine', label: words.list.mine(open.filter(isMine).length) },
          { value: 'all', label: words.list.all(open.length) },
          { value: 'beds', label: words.list.byBed },
        ]}
        value={shown}
        onChoose={(each) => (chosen.value = each)}
      />
      {some.length > 0 && (
        <label class="askday">
          <input type="checkbox" checked={asks} onChange={(event) => ask(event.currentTarget.checked)} />
          <span>
            {words.list.askDay}
            <span class="small quiet">{words.list.askDayHint}</span>
          </span>
        </label>
      )}
      {tasks && some.length === 0 && <p class="empty">{rows.length > 0 ? words.list.noneMine : words.list.none}</p>}
      {shown === 'beds' ? <ByBed rows={some} line={line} /> : <ByDay rows={some} now={now} line={line} />}
      {dayFor && (
        <AskDay
          work={workAndLot(dayFor.item)}
          onChoose={async (on) => {
            await tick(dayFor, on);
            askDay(undefined);
          }}
          onClose={() => askDay(undefined)}
        />
      )}
      {last.value && <Foot {...last.value} />}
      <Bar />
    </main>
  );
}

/** How old the plan is, whether the phone is out of range since, and how many ticks wait. */
function head(view: WorkView | undefined, rows: readonly Row[]): string {
  const words = supervisorWords.value.tasks;
  const isAway = !online.value || queue.value.state === 'offline';
  const pending = rows.filter(({ ticks }) => ticks.some(({ isPending }) => isPending)).length;
  const said = view ? words.mine.asOf(untilWhen(view.made_at)) : words.list.noPlan;
  return [view && isAway ? `${said}, ${words.list.outOfRange}` : said, pending > 0 && words.list.pending(pending)]
    .filter(Boolean)
    .join(' · ');
}

interface PartProps {
  rows: readonly Row[];
  line: (row: Row) => JSX.Element;
}

function ByDay({ rows, now, line }: PartProps & { now: number }) {
  const today = dayOf(now);
  return (
    <>
      {phoneGroups.map((group) => (
        <Part
          key={group}
          title={supervisorWords.value.tasks.list.groups[group]}
          rows={rows.filter(({ item }) => phoneGroupOf(item, today) === group)}
          line={line}
        />
      ))}
    </>
  );
}

/** The beds by name, work on several of them under each; what is done is under All and Mine. */
function ByBed({ rows, line }: PartProps) {
  const open = rows.filter(({ item }) => item.ticks.length === 0);
  const beds = [...new Set(open.flatMap(({ item }) => item.beds.map(({ bed }) => bed)))]
    .map((bed) => ({ bed, name: nameOfBed(bed) }))
    .sort((a, b) => a.name.localeCompare(b.name, 'en', { numeric: true }));
  const words = supervisorWords.value.tasks;
  return (
    <>
      <StepCautions steps={open.map(({ item }) => item.step)} isShort />
      {beds.map(({ bed, name }) => (
        <Part
          key={bed}
          title={name}
          rows={open.filter(({ item }) => item.beds.some((each) => each.bed === bed))}
          line={line}
          isWarned
        />
      ))}
      <Part isWarned title={words.noBed} rows={open.filter(({ item }) => item.beds.length === 0)} line={line} />
    </>
  );
}

/** As many as are drawn at once; a season's plan has hundreds that are far off. */
const MOST = 30;

/** @param isWarned the cautions of its steps stand above */
function Part({ title, rows, line, isWarned = false }: PartProps & { title: string; isWarned?: boolean }) {
  const [most, setMost] = useState(MOST);
  if (rows.length === 0) return null;
  const shown = rows.slice(0, most);
  const open = shown.filter(({ item }) => item.ticks.length === 0);
  return (
    <section class="mytasks">
      <h2>{title}</h2>
      {!isWarned && <StepCautions steps={open.map(({ item }) => item.step)} isShort />}
      <ul>{shown.map(line)}</ul>
      {rows.length > most && (
        <Button size="walk" onClick={() => setMost(most + MOST)}>
          {supervisorWords.value.tasks.list.more(Math.min(MOST, rows.length - most))}
        </Button>
      )}
    </section>
  );
}

function Foot({ said, undo }: { said: string; undo: () => Promise<boolean> }) {
  const takeBack = async () => {
    if (await undo()) last.value = undefined;
  };
  return (
    <div class="undofoot" role="status">
      <p>
        {said}
        {queue.value.pending > 0 && <span class="small quiet">{whenSent()}</span>}
      </p>
      <Button size="walk" onClick={() => void takeBack()}>
        {appWords.value.common.undo}
      </Button>
    </div>
  );
}

const MINUTE_MS = 60_000;

/** Now, moved on when the page is shown again and at least once a minute: what is due and what is closed goes by it. */
function useNow(): number {
  const [now, set] = useState(Date.now());
  useEffect(() => {
    const move = () => set(Date.now());
    const timer = setInterval(move, MINUTE_MS);
    document.addEventListener('visibilitychange', move);
    return () => {
      clearInterval(timer);
      document.removeEventListener('visibilitychange', move);
    };
  }, []);
  return now;
}
