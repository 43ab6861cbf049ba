import type { Register } from '../../../../../schema/types';
import { useStored } from '../../../journal/records/read';
import { people } from '../../../journal/records/registers';
import { isHandedOut, readTasks } from '../../../journal/records/tasks';
import { appWords } from '../../../words';
import { day } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { callOff } from '../plan/handOut';

/** Who was sent to the bed already and has not been there: otherwise a second person would be. Whoever was sent can be called back. */
export function OnTheWay({ bed }: { bed: string }) {
  const words = supervisorWords.value.morning;
  const tasks = useStored(readTasks, [], 'task');
  const errands = [...(tasks ?? [])].filter(([, register]) => isErrandTo(register, bed));
  return (
    <>
      {errands.map(([id, register]) => {
        const { person, due_on: due } = register.fields;
        const name = people.value.get(String(person?.value))?.name ?? appWords.value.common.unknown;
        return (
          <p key={id} class="small quiet">
            {words.onTheWay(name, typeof due?.value === 'string' ? day(due.value) : '')}{' '}
            <button
              type="button"
              class="link"
              aria-label={words.callBackOf(name)}
              onClick={() => void callOff({ task: id, lot: '' }, register, words.calledBack(name))}
            >
              {words.callBack}
            </button>
          </p>
        );
      })}
    </>
  );
}

function isErrandTo(task: Register, bed: string): boolean {
  const beds = task.fields['beds']?.value;
  return isHandedOut(task) && Array.isArray(beds) && beds.includes(bed);
}
