/** How a piece of work is ticked: in one tap where it is only a day, else by the form that asks for its numbers. */
import type { Event, Register, Stamped, WorkItem } from '../../../schema/types';
import { intent } from '../journal/outbox/write';
import { coolers } from '../journal/records/input';
import { seenIn } from '../journal/records/registers';
import type { Intent } from '../journal/store/shape';
import { addressOf } from './place';

/** What is noted of a lot for a step that is noted as work done. The first is what a tap notes. */
const events: { readonly [step: string]: readonly Event['what'][] | undefined } = {
  last_pinch: ['clipped', 'pinched'],
  into_cooler: ['into_cooler'],
  into_forcing: ['into_forcing'],
};

/** The form of each step that asks for more than a day. */
const forms: { readonly [step: string]: string | undefined } = {
  into_liner: 'step',
  into_small_pot: 'step',
  into_finished_pot: 'step',
  last_pinch: 'event',
  regulator: 'application',
  into_cooler: 'event',
};

/** What may be noted as done where it is this step's. */
export function eventsOf(step: string): readonly Event['what'][] {
  return events[step] ?? [];
}

/** True where one tap says all: of several coolers, and of a pinch or a clip, the form asks which. */
export function isOneTap({ step, form }: WorkItem): boolean {
  if (step === '') return form === '';
  if (step === 'into_forcing') return true;
  return step === 'into_cooler' && coolers().length < 2;
}

/** Where the form is that ticks it when it is saved. */
export function addressOfForm({ task, lot, step, form, beds }: WorkItem): string {
  const bed = beds.length === 1 ? (beds[0]?.bed ?? '') : '';
  return addressOf(step === '' ? form : (forms[step] ?? ''), { lot, bed }, { task, step });
}

/** Says that it was done on a day by a person: both fields, and nothing else of the task, as a scout's device may. */
export function tick(
  item: Pick<WorkItem, 'task' | 'lot'>,
  register: Register | undefined,
  person: string,
  on: string,
  id?: string,
): Intent {
  const saw = seenIn(register, ['done_on', 'done_by']);
  const where = { lot: item.lot, ...(id === undefined ? {} : { id }) };
  return intent('task', { of: item.task, saw, done_on: on, done_by: person }, where);
}

/** The lot's event that goes with a tick in one tap; none for work that is no step. */
export function eventOfTick({ task, lot, step }: WorkItem, on: string): Intent[] {
  const [what] = eventsOf(step);
  if (!what) return [];
  const [cooler] = step === 'into_cooler' ? coolers() : [];
  return [intent('event', { lot, what, on, task, ...(cooler ? { house: cooler.id } : {}) })];
}

/** Takes a tick back: a scout's device strikes out no task, it empties the two fields. */
export function untick({ task, lot }: Pick<WorkItem, 'task' | 'lot'>, entry: string): Intent {
  return intent('task', { of: task, saw: [entry], done_on: null, done_by: null }, lot === '' ? {} : { lot });
}

/** True of a note that ticks a task. */
export function isTick({ entry }: Stamped): boolean {
  return entry.kind === 'task' && typeof (entry.body as { done_on?: unknown }).done_on === 'string';
}
