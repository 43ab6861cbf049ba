import type { Register } from '../../../../../schema/types';
import { useStored } from '../../../journal/records/read';
import { readTasks } from '../../../journal/records/tasks';
import { useLater } from '../../../parts/later';
import { me } from '../../../state';

/** The work that was handed to this person and nobody has ticked. Who has none waits for nothing. */
export function MyTasks() {
  const tasks = useStored(readTasks, []);
  const person = me.value?.person;
  const mine = [...(tasks ?? [])].filter(([, register]) => isOpenFor(register, person));
  return mine.length === 0 ? null : <Lines mine={new Map(mine)} />;
}

function Lines({ mine }: { mine: ReadonlyMap<string, Register> }) {
  const Shown = useLater(() => import('./TaskLines').then((it) => it.TaskLines));
  return Shown ? <Shown mine={mine} /> : null;
}

function isOpenFor({ fields }: Register, person: string | undefined): boolean {
  const isTicked = typeof fields['done_on']?.value === 'string';
  return fields['person']?.value === person && !isTicked && fields['cancelled']?.value !== true;
}
