import { useState } from 'preact/hooks';
import type { Register, WorkItem, WorkView } from '../../../../../schema/types';
import { firstReading } from '../../../journal/inbox/arriving';
import { useStored } from '../../../journal/records/read';
import { readTasks } from '../../../journal/records/tasks';
import { Button } from '../../../parts/Button';
import { Dialog } from '../../../parts/Dialog';
import { DataTable } from '../../../parts/DataTable';
import { Link } from '../../../router';
import { appWords } from '../../../words';
import { list, untilWhen } from '../../../words/format';
import { lotLine } from '../../../words/names';
import { supervisorWords } from '../../../words/supervisor';
import { Filters, NoneMatch, Pick } from '../Filters';
import { bedName, peopleHere } from '../names';
import { Section } from '../Page';
import { callOff, handOut } from './handOut';
import { Part, ToWeekSheet } from './Parts';
import { isOnTwoDays, TwoDays } from './TwoDays';
import { WorkForm } from './WorkForm';
import { WorkSheets, type Sheet } from './WorkSheets';
import {
  DISPUTED,
  groupOf,
  groups,
  isNotCounted,
  nameOfWork,
  personOf,
  saidDue,
  saidTicks,
  workAndLot,
} from '../../../words/tasks';
import '../../../style/supervisor-tasks.css';

/** What there is to do, by its day: handed out here, and printed for whoever does it. */
export function Work() {
  return (
    <Part<WorkView> here="work" path="work" title={() => supervisorWords.value.tasks.title}>
      {(view) => <All view={view} />}
    </Part>
  );
}

/** A piece of work with what this device knows of it. */
interface Row {
  item: WorkItem;
  register: Register | undefined;
  /** Whom it is handed to: "" for nobody, or DISPUTED. */
  person: string;
}

const EVERYBODY = '*';

/** What two people were chosen for is nobody's until one is chosen. */
function isWith(who: string, { person }: Row): boolean {
  return who === (person === DISPUTED ? '' : person);
}

function All({ view }: { view: WorkView }) {
  const words = supervisorWords.value.tasks;
  const tasks = useStored(readTasks, [], 'task');
  const [who, pickWho] = useState(EVERYBODY);
  const [prints, print] = useState(false);
  // The id of the task that is being changed, "" for work that is being added.
  const [edited, edit] = useState<string | undefined>(undefined);
  const all = view.items.map((item): Row => {
    const register = tasks?.get(item.task);
    return { item, register, person: personOf(item, register) };
  });
  const names = namesIn(view.items);
  const shown = all.filter((row) => who === EVERYBODY || isWith(who, row));
  const open = shown.filter(({ item }) => groupOf(item, view.today) !== 'done');
  const sheets = sheetsOf(open, names, who);
  const isReady = tasks !== undefined && firstReading.value === undefined;
  const row = all.find(({ item }) => item.task === edited);
  const add = (
    <Button disabled={!isReady} onClick={() => edit('')}>
      {words.edit.add}
    </Button>
  );
  return (
    <>
      <TwoDays rows={all.filter(isOnTwoDays)} isReady={isReady} />
      <Dialog
        title={row ? words.edit.title(workAndLot(row.item)) : words.edit.newTitle}
        open={edited === '' || row !== undefined}
        onClose={() => edit(undefined)}
      >
        <WorkForm item={row?.item} register={row?.register} names={names} onDone={() => edit(undefined)} />
      </Dialog>
      {all.length === 0 ? (
        <div class="empty">
          <h2>{words.emptyTitle}</h2>
          <p>{words.empty}</p>
          {add}
        </div>
      ) : (
        <>
          <p class="intro">{words.intro}</p>
          {!isReady && <p class="quiet">{words.arriving}</p>}
          <Filters count={counted(open, view.today)}>
            <Pick
              label={words.who}
              value={who}
              options={[
                { value: EVERYBODY, label: words.everybody },
                { value: '', label: words.nobody },
                ...[...names].map(([value, label]) => ({ value, label })),
              ]}
              onPick={pickWho}
            />
          </Filters>
          <p class="actions">
            {add}
            {sheets.length > 0 ? (
              <Button onClick={() => print(true)}>{words.print(sheets.length)}</Button>
            ) : (
              <span class="small quiet">{words.noSheets}</span>
            )}
            <ToWeekSheet />
          </p>
          {shown.length === 0 && (
            <NoneMatch said={words.noneMatch} clear={appWords.value.common.clear} onClear={() => pickWho(EVERYBODY)} />
          )}
          {groups.map((group) => {
            const rows = shown.filter(({ item }) => groupOf(item, view.today) === group);
            return (
              rows.length > 0 && (
                <Section key={group} title={words.groups[group]}>
                  <Rows title={words.groups[group]} rows={rows} names={names} isReady={isReady} onEdit={edit} />
                </Section>
              )
            );
          })}
        </>
      )}
      {prints && <WorkSheets sheets={sheets} today={view.today} at={view.made_at} onOver={() => print(false)} />}
    </>
  );
}

/** Everybody to whom work can be handed or was handed, by name. */
function namesIn(items: readonly WorkItem[]): ReadonlyMap<string, string> {
  const unknown = appWords.value.common.unknown;
  const all = new Map([
    ...items
      .filter(({ person }) => person !== '')
      .map(({ person, person_name: name }) => [person, name || unknown] as const),
    ...peopleHere().map(({ id, name }) => [id, name] as const),
  ]);
  return new Map([...all].sort(([, a], [, b]) => a.localeCompare(b)));
}

function counted(open: readonly Row[], today: string): string {
  const late = open.filter(({ item }) => groupOf(item, today) === 'late');
  const nobody = open.filter((row) => isWith('', row));
  return supervisorWords.value.tasks.count(open.length, late.length, nobody.length);
}

/** A sheet for each person; what nobody has is printed only when it is asked for. */
function sheetsOf(open: readonly Row[], names: ReadonlyMap<string, string>, who: string): Sheet[] {
  const persons = who === '' ? [''] : [...names.keys()];
  return persons.flatMap((person) => {
    const items = open.filter((row) => isWith(person, row)).map(({ item }) => item);
    return items.length === 0 ? [] : [{ person, name: names.get(person) ?? '', items }];
  });
}

interface RowsProps {
  title: string;
  rows: readonly Row[];
  names: ReadonlyMap<string, string>;
  isReady: boolean;
  onEdit: (task: string) => void;
}

function Rows({ title, rows, names, isReady, onEdit }: RowsProps) {
  const words = supervisorWords.value.tasks;
  return (
    <DataTable
      caption={title}
      captionUnseen
      stacks
      rows={rows}
      keyOf={({ item }) => item.task}
      columns={[
        { key: 'work', title: words.table.work, heads: true, cell: ({ item }) => nameOfWork(item) },
        { key: 'lot', title: words.table.lot, by: ({ item }) => item.tag, cell: ({ item }) => <Lot item={item} /> },
        {
          key: 'beds',
          title: words.table.beds,
          by: ({ item }) => bedsOf(item),
          cell: ({ item }) => <Beds item={item} />,
        },
        {
          key: 'due',
          title: words.table.due,
          by: ({ item }) => item.due,
          cell: ({ item }) => <span class={item.late_days > 0 ? 'attention' : ''}>{saidDue(item)}</span>,
        },
        {
          key: 'person',
          title: words.who,
          by: ({ person }) => names.get(person) ?? '',
          cell: (row) => <Hand row={row} names={names} isReady={isReady} />,
        },
        {
          key: 'change',
          title: words.table.change,
          offPaper: true,
          cell: (row) => <Change row={row} isReady={isReady} onEdit={onEdit} />,
        },
        {
          key: 'ticks',
          title: words.table.ticks,
          cell: ({ item }) => (
            <>
              {saidTicks(item).map((said) => (
                <span key={said} class="block">
                  {said}
                </span>
              ))}
              {isNotCounted(item) && <span class="block attention">{words.notCounted}</span>}
            </>
          ),
        },
      ]}
    />
  );
}

/** Of work that is done nothing is left to change. */
function Change({ row, isReady, onEdit }: Pick<RowsProps, 'isReady' | 'onEdit'> & { row: Row }) {
  const words = supervisorWords.value.tasks.edit;
  const { item, register } = row;
  if (item.ticks.length > 0) return null;
  const name = workAndLot(item);
  return (
    <span class="change">
      <Button kind="quiet" disabled={!isReady} aria-label={words.changeOf(name)} onClick={() => onEdit(item.task)}>
        {words.change}
      </Button>
      {item.step === '' && (
        <Button
          kind="quiet"
          disabled={!isReady}
          aria-label={words.callOffOf(name)}
          onClick={() => void callOff(item, register, words.calledOff(name))}
        >
          {words.callOff}
        </Button>
      )}
    </span>
  );
}

function Lot({ item }: { item: WorkItem }) {
  if (item.lot === '') return null;
  return (
    <>
      <Link to={`/plan/${item.lot}`}>{lotLine(item)}</Link>
      <span class="block small quiet">{supervisorWords.value.tasks.pots(item.pots)}</span>
    </>
  );
}

function bedsOf(item: WorkItem): string {
  return item.beds.length === 0 ? supervisorWords.value.tasks.noBed : list(item.beds.map(({ name }) => bedName(name)));
}

function Beds({ item }: { item: WorkItem }) {
  return (
    <>
      {bedsOf(item)}
      {item.closed_until > Date.now() && (
        <strong class="block attention">{supervisorWords.value.tasks.closed(untilWhen(item.closed_until))}</strong>
      )}
    </>
  );
}

function Hand({ row, names, isReady }: { row: Row; names: ReadonlyMap<string, string>; isReady: boolean }) {
  const words = supervisorWords.value.tasks;
  const { item, register, person } = row;
  const pick = (chosen: string) => void handOut(item, register, chosen, names.get(chosen) ?? '');
  return (
    <select
      class="hand"
      aria-label={words.pick(nameOfWork(item), lotLine(item))}
      disabled={!isReady}
      value={person}
      onChange={({ currentTarget }) => {
        pick(currentTarget.value);
        // Shows what is on record until the choice is saved.
        currentTarget.value = person;
      }}
    >
      {person === DISPUTED && <option value={DISPUTED}>{words.disputed}</option>}
      <option value="">{words.nobody}</option>
      {[...names].map(([id, name]) => (
        <option key={id} value={id}>
          {name}
        </option>
      ))}
    </select>
  );
}
