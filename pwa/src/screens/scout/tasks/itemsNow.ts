/** The work as this phone knows it: the server's list, and what has been noted and received here since. */
import type { Lot, Register, Task, WorkItem, WorkView } from '../../../../../schema/types';
import { bedsOf } from '../../../forms/place';
import { dayOf, daysBetween } from '../../../forms/days';
import { beds, lots, people, stock, type Plain } from '../../../journal/records/registers';
import { ticksOf, type Tick } from '../../../journal/records/tasks';
import { appWords } from '../../../words';
import { groupOf, personOf } from '../../../words/tasks';

export interface Row {
  item: WorkItem;
  register: Register | undefined;
  /** The ticks that this phone has notes of; the item's own may be of notes that are still to come. */
  ticks: readonly Tick[];
}

/** For how many days work that is done stays in the list, as at the server. */
const DONE_SHOWN = 7;

/**
 * @param view the server's list as last seen; undefined where this phone never had one
 * @param tasks what was written down of tasks, by their ids
 */
export function rowsNow(view: WorkView | undefined, tasks: ReadonlyMap<string, Register>, now: number): Row[] {
  const today = dayOf(now);
  const listed = (view?.items ?? []).map((item) => withNotes(item, tasks.get(item.task), today));
  const known = new Set(listed.map(({ item }) => item.task));
  const since = [...tasks.values()].flatMap((register) => {
    const item = known.has(register.of) ? undefined : itemOf(register, view?.made_at ?? 0);
    return item ? [withNotes(item, register, today)] : [];
  });
  return [...listed, ...since]
    .filter(({ item, register }) => !isCancelled(item, register) && !isLongDone(item, today))
    .sort((a, b) => compare(a.item.due || '~', b.item.due || '~') || compare(a.item.tag, b.item.tag));
}

function withNotes(listed: WorkItem, register: Register | undefined, today: string): Row {
  const ticks = register ? ticksOf(register) : [];
  const isOff = register?.fields['cancelled']?.value === true;
  const person = isOff ? '' : personOf(listed, register);
  const item = { ...listed, person, person_name: nameOf(person, listed) };
  // Where nobody here has noted anything of it, the server may know more.
  if (register?.fields['done_on']) item.ticks = ticks.map(({ on, by }) => ({ on, by, name: nameOf(by, listed) }));
  const due = register?.fields['due_on'];
  if (typeof due?.value === 'string' && !isOff) Object.assign(item, { due: due.value, due_is: 'handed' });
  else if (due && item.due_is === 'handed') {
    Object.assign(item, { due: item.latest, due_is: item.latest === '' ? '' : 'latest' });
  }
  if (item.latest !== '') item.late_days = Math.max(0, daysBetween(item.latest, today));
  return { item, register, ticks };
}

function nameOf(person: string, { person: listed, person_name: name, ticks }: WorkItem): string {
  const known = people.value.get(person)?.name ?? ticks.find(({ by }) => by === person)?.name;
  return known ?? (person === listed ? name : '');
}

/** What was written down since the server made its list, as far as this phone can say what it is. */
function itemOf(register: Register, madeAt: number): WorkItem | undefined {
  const task = plain(register);
  const lot: Plain<Lot> | undefined = task.lot ? lots.value.get(task.lot) : undefined;
  const isStep = !task.words && lot !== undefined && task.step;
  // A step that the list of the same time leaves out was taken another way.
  const newest = Math.max(...Object.values(register.fields).map(({ by }) => by.stamp.at));
  if (!task.words && !(isStep && newest > madeAt)) return undefined;
  const on = task.beds?.length ? task.beds : task.lot ? bedsOf(task.lot) : [];
  return {
    task: register.of,
    lot: task.lot ?? '',
    tag: lot?.tag ?? '',
    cultivar: lot?.cultivar ?? '',
    pots: stock.value.get(task.lot ?? '')?.pots ?? 0,
    beds: on.map((bed) => ({ bed, name: beds.value.get(bed)?.name ?? appWords.value.common.unknown })),
    step: task.step ?? '',
    words: task.words ?? '',
    form: task.form ?? '',
    due: '',
    due_is: '',
    latest: '',
    late_days: 0,
    person: '',
    person_name: '',
    ticks: [],
    closed_until: 0,
  };
}

function plain({ fields }: Register): Partial<Task> {
  return Object.fromEntries(Object.entries(fields).map(([name, { value }]) => [name, value])) as Partial<Task>;
}

/** A step that was called off is still the lot's next one, and nobody's. */
function isCancelled({ step }: WorkItem, register: Register | undefined): boolean {
  return step === '' && register?.fields['cancelled']?.value === true;
}

function isLongDone({ ticks }: WorkItem, today: string): boolean {
  return ticks.length > 0 && ticks.every(({ on }) => daysBetween(on, today) > DONE_SHOWN);
}

function compare(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

export const phoneGroups = ['today', 'soon', 'later', 'undated', 'done'] as const;

/** The parts of the desk's list, except that what is late stands with what is due today, and that a tick is not asked whether it counts. */
export function phoneGroupOf(item: WorkItem, today: string): (typeof phoneGroups)[number] {
  if (item.ticks.length > 0) return 'done';
  const group = groupOf(item, today);
  return group === 'late' || (group === 'soon' && item.due <= today) ? 'today' : group;
}
