import type { Register } from '../../../../../schema/types';
import { useStored } from '../../../journal/records/read';
import { isHandedOut, readTasks } from '../../../journal/records/tasks';
import { useLater } from '../../../parts/later';
import { me } from '../../../state';

/** As read the last time: on the way back to Today nothing comes late that would push the beds from under the thumb. */
let latest: ReadonlyMap<string, Register> = new Map();

/** The work that was handed to this person and nobody has ticked. Who has none waits for nothing. */
export function MyTasks() {
  latest = useStored(readTasks, [], 'task') ?? latest;
  const person = me.value?.person;
  const mine = [...latest].filter(([, task]) => isHandedOut(task) && task.fields['person']?.value === person);
  return mine.length === 0 ? null : <Lines mine={new Map(mine)} />;
}

const loadLines = () => import('./TaskLines').then((it) => it.TaskLines);

function Lines({ mine }: { mine: ReadonlyMap<string, Register> }) {
  const Shown = useLater(loadLines);
  return Shown ? <Shown mine={mine} /> : null;
}
