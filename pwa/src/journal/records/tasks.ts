/** The tasks that somebody wrote down, as this device knows them: its own unsent changes are in them already. */
import type { Register } from '../../../../schema/types';
import { decodeRows } from '../recovery/damaged';
import { base } from '../store/base';
import { allBetween } from '../store/pages';

/** @returns each task's record, by the task's id */
export async function readTasks(): Promise<ReadonlyMap<string, Register>> {
  const { store } = (await base()).transaction('records');
  const rows = decodeRows(await allBetween(store, 'task:', 'task:\uffff', (row) => row.key));
  return new Map(rows.flatMap(({ record: { register } }) => (register ? [[register.of, register] as const] : [])));
}
