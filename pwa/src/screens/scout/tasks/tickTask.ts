/** Ticks a piece of work, and takes the tick back. */
import type { Event, Register, Stamped, WorkItem } from '../../../../../schema/types';
import { keys } from '../../../../../sync/fold/fold';
import { dayOf } from '../../../forms/days';
import { coolers } from '../../../journal/records/input';
import { seenIn } from '../../../journal/records/registers';
import { intent, save } from '../../../journal/outbox/write';
import { say, sayNotSaved } from '../../../parts/Toast';
import { workWords } from '../../../words/rooms';

/** The steps that are only a day: what is noted of the lot by one tap. Others have numbers, and a form that asks for them. */
const events: { readonly [step: string]: Event['what'] | undefined } = {
  into_cooler: 'into_cooler',
  into_forcing: 'into_forcing',
};

/** True where one tap says all: of several coolers the form asks which. */
export function isOneTap({ step }: WorkItem): boolean {
  if (step === '') return true;
  return events[step] !== undefined && (step !== 'into_cooler' || coolers().length < 2);
}

/** Saves that it was done today by this person, the lot's event with it; out of range too. The toast takes both back. */
export async function tickTask(item: WorkItem, register: Register, person: string, said: string): Promise<void> {
  const on = dayOf(Date.now());
  const saw = seenIn(register, ['done_on', 'done_by']);
  const what = events[item.step];
  const [cooler] = item.step === 'into_cooler' ? coolers() : [];
  const event = what && { lot: item.lot, what, on, task: item.task, ...(cooler ? { house: cooler.id } : {}) };
  try {
    const saved = await save([
      intent('task', { of: item.task, saw, done_on: on, done_by: person }, { lot: item.lot }),
      ...(event ? [intent('event', event)] : []),
    ]);
    say(said, () => void untick(item, saved));
  } catch (error) {
    sayNotSaved(error);
  }
}

/** A scout's device strikes out no task: it empties the two fields, and strikes the event out. */
async function untick(item: WorkItem, [tick, event]: readonly Stamped[]): Promise<void> {
  const words = workWords.value.work.form;
  const where = { lot: item.lot };
  const saw = tick ? [tick.entry.id] : [];
  try {
    await save([
      intent('task', { of: item.task, saw, done_on: null, done_by: null }, where),
      ...(event ? [intent('void', { names: event.entry.id, records: keys(event.entry), why: 'mistake' }, where)] : []),
    ]);
    say(words.undone);
  } catch {
    say(words.undoFailed);
  }
}
