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

/** True for work that was handed to somebody, and that nobody has ticked or taken back. */
export function isHandedOut({ fields }: Register): boolean {
  const isOver = typeof fields['done_on']?.value === 'string' || fields['cancelled']?.value === true;
  return typeof fields['person']?.value === 'string' && !isOver;
}

/** A tick as this device knows it: who said that it was done, on which day, and which note says so. */
export interface Tick {
  on: string;
  by: string;
  entry: string;
  device: string;
  /** When it was noted, ms since 1970. */
  at: number;
  isPending: boolean;
}

/** Every tick that nobody has taken back, the earliest day first: of two made apart both stand (as server/view/work.go has it). */
export function ticksOf({ fields }: Register): Tick[] {
  const all = (name: string) => {
    const field = fields[name];
    return field ? [{ value: field.value, by: field.by }, ...(field.others ?? [])] : [];
  };
  const persons = new Map(all('done_by').map(({ value, by }) => [by.entry, value]));
  const shown = fields['done_on']?.value;
  const days = new Map(all('done_on').map(({ value, by }) => [by.entry, value]));
  const notes = new Map([...all('done_on'), ...all('done_by')].map(({ by }) => [by.entry, by]));
  return [...notes]
    .flatMap(([entry, { device, stamp }]): Tick[] => {
      // Of two who wrote the same day or person one alone stands beside it.
      const on = days.has(entry) ? days.get(entry) : shown;
      const by = persons.get(entry);
      if (typeof on !== 'string' || on === '' || typeof by !== 'string' || by === '') return [];
      return [{ on, by, entry, device, at: stamp.at, isPending: stamp.quality === 'pending' }];
    })
    .sort((a, b) => (a.on === b.on ? (a.entry < b.entry ? -1 : 1) : a.on < b.on ? -1 : 1));
}
