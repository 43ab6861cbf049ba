/** Hands a piece of work to a person, and calls it off. */
import type { Register, Task, WorkItem } from '../../../../../schema/types';
import { saveForm } from '../../../forms/saving';
import { intent } from '../../../journal/outbox/write';
import { seenIn } from '../../../journal/records/registers';
import { supervisorWords } from '../../../words/supervisor';
import { lotLine } from '../../../words/names';
import { nameOfWork } from '../../../words/tasks';

/**
 * Writes whose work it is; the toast takes it back.
 * @param register the task as this device knows it, if anybody has written it down
 * @param person "" for nobody
 */
export async function handOut(
  item: WorkItem,
  register: Register | undefined,
  person: string,
  name: string,
): Promise<void> {
  const words = supervisorWords.value.tasks;
  const body: Omit<Task, 'saw'> = { of: item.task, person: person || null, ...stepOf(item, register) };
  const saw = seenIn(register, Object.keys(body));
  const [work, lot] = [nameOfWork(item), lotLine(item)];
  const said = person === '' ? words.takenBack(work, lot) : words.handed(work, lot, name);
  await saveForm(`hand out ${item.task}`, [intent('task', { ...body, saw }, { lot: item.lot })], said);
}

/** What a step of the plan needs besides when it is written down for the first time, or called for again. */
export function stepOf(item: WorkItem | undefined, register: Register | undefined): Partial<Task> {
  if (!item) return {};
  const more: Partial<Task> = {};
  if (item.lot !== '' && !register?.fields['lot']) more.lot = item.lot;
  if (item.step !== '' && !register?.fields['step']) more.step = item.step as NonNullable<Task['step']>;
  if (register?.fields['cancelled']?.value === true) more.cancelled = false;
  return more;
}

/**
 * Calls work off, also whoever was sent to a bed and has not been there: it leaves every list. The toast takes that back.
 * @param said what the toast says
 */
export async function callOff(
  { task, lot }: Pick<WorkItem, 'task' | 'lot'>,
  register: Register | undefined,
  said: string,
): Promise<void> {
  const body = { of: task, saw: seenIn(register, ['cancelled']), cancelled: true };
  await saveForm(`call off ${task}`, [intent('task', body, { lot })], said);
}
