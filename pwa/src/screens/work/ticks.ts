/** The piece of work that a form was opened for, which saving the form ticks. */
import type { Register } from '../../../../schema/types';
import { dayOf } from '../../forms/days';
import { tick } from '../../forms/tasks';
import { useStored } from '../../journal/records/read';
import { readTasks } from '../../journal/records/tasks';
import type { Intent } from '../../journal/store/shape';
import { useLater } from '../../parts/later';
import { route } from '../../router';
import { me } from '../../state';
import { word } from '../../words/entry';
import type { Location } from '../../forms/place';

export interface FormTask {
  id: string;
  /** The step of the plan that it is. */
  step: string;
  /** False for the moment until it has been read: what it knows is named by a tick. */
  isReady: boolean;
  /** What the plan calls it, or whoever handed it out. */
  name: string;
  /** Says that it was done on a day, by whoever is at this phone. */
  tick: (on: string, id: string) => Intent;
}

/** What keeps a form from ticking its task, "" where nothing does; and the day that it was done on. */
export interface Ticks {
  task: FormTask;
  on: string | undefined;
  unless: string;
}

/** @returns undefined where the form was opened by itself */
export function useFormTask(place: Location): FormTask | undefined {
  const { query } = route.value;
  const [id, step] = [query.get('task') ?? '', query.get('step') ?? ''];
  const tasks = useStored(async () => (id === '' ? new Map() : readTasks()), [id], 'task');
  // The plan's own words are fetched where a step of the plan is asked for.
  const names = useLater(async () =>
    id === '' ? undefined : (await import('../../words/supervisor')).supervisorWords,
  );
  if (id === '') return undefined;
  return {
    id,
    step,
    isReady: tasks !== undefined && names !== undefined,
    name: step === '' ? wordsOf(tasks?.get(id)) : names ? word(names.value.plan.step, step) : '',
    tick: (on, entry) => tick({ task: id, lot: place.lot }, tasks?.get(id), me.value?.person ?? '', on, entry),
  };
}

function wordsOf(register: Register | undefined): string {
  const words = register?.fields['words']?.value;
  return typeof words === 'string' ? words : '';
}

/**
 * What a form ticks that knows nothing of tasks: work in somebody's own words, of which it is what is noted. It was done today.
 * @param given what the form itself says, for a step of the plan
 */
export function useTicks(place: Location, given: Ticks | undefined): Ticks | undefined {
  const task = useFormTask(place);
  if (given || task?.step !== '' || !task.isReady) return given;
  return { task, on: dayOf(Date.now()), unless: '' };
}
