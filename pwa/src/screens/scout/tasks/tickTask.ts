/** Ticks a piece of work in one tap, and takes the tick back. */
import type { Register, WorkItem } from '../../../../../schema/types';
import { eventOfTick, tick, untick } from '../../../forms/tasks';
import { voidSaved } from '../../../forms/saving';
import { factsOf } from '../../../journal/records/read';
import type { Tick } from '../../../journal/records/tasks';
import { intent, save } from '../../../journal/outbox/write';
import { say, sayNotSaved } from '../../../parts/Toast';
import { workWords } from '../../../words/rooms';

/**
 * Saves that it was done on a day by this person, the lot's event with it; out of range too.
 * @returns what takes both back; undefined after the person has been shown why nothing was saved
 */
export async function tickTask(
  item: WorkItem,
  register: Register | undefined,
  person: string,
  on: string,
): Promise<(() => Promise<boolean>) | undefined> {
  try {
    const saved = await save([tick(item, register, person, on), ...eventOfTick(item, on)]);
    return () => voidSaved(saved);
  } catch (error) {
    sayNotSaved(error);
    return undefined;
  }
}

/** Takes back an earlier tick of this device, with the lot's event that it noted. A tick of somebody else beside it stays. */
export async function takeBack(item: WorkItem, { entry, device }: Tick): Promise<void> {
  const words = workWords.value.work.form;
  const where = item.lot === '' ? {} : { lot: item.lot };
  const events = item.lot === '' ? [] : await factsOf('lot', 'event', item.lot);
  const own = events.filter(
    ({ body, by, voided }) => (body as { task?: string }).task === item.task && by.device === device && !voided,
  );
  try {
    await save([
      untick(item, entry),
      ...own.map(({ id }) => intent('void', { names: id, records: [`fact:${id}`], why: 'mistake' }, where)),
    ]);
    say(words.undone);
  } catch {
    say(words.undoFailed);
  }
}
