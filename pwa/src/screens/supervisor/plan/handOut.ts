/** Hands a piece of work to a person. */
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
  const body: Omit<Task, 'saw'> = { of: item.task, person: person || null };
  // A step of the plan has no record before it is first handed out, and one that was called off is called for again.
  if (item.lot !== '' && !register?.fields['lot']) body.lot = item.lot;
  if (item.step !== '' && !register?.fields['step']) body.step = item.step as NonNullable<Task['step']>;
  if (register?.fields['cancelled']?.value === true) body.cancelled = false;
  const saw = seenIn(register, Object.keys(body));
  const [work, lot] = [nameOfWork(item), lotLine(item)];
  const said = person === '' ? words.takenBack(work, lot) : words.handed(work, lot, name);
  await saveForm(`hand out ${item.task}`, [intent('task', { ...body, saw }, { lot: item.lot })], said);
}
