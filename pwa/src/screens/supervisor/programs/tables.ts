/** The names of tables and events, and of what other programs are given. What this build has no name for goes by the server's. */
import type { Answer } from '../../../forms/typed';
import { supervisorWords } from '../../../words/supervisor';

export function tableName(table: string): string {
  const names: Readonly<Record<string, string>> = supervisorWords.value.out.table;
  return names[table] ?? table;
}

/** A type of event in words; one that this build has none for goes by its name. */
export function eventName(event: string): string {
  const names: Readonly<Record<string, string>> = supervisorWords.value.hooks.event;
  return names[event] ?? event;
}

const MOST_LETTERS = 80;

/** @param name of a key or a webhook, trimmed */
export function nameTyped(name: string): Answer<string> {
  const letters = [...name].length;
  if (letters === 0 || letters > MOST_LETTERS) return { problem: supervisorWords.value.programs.nameMissing };
  return { value: name };
}

/** Whether the server is open without HTTPS to others than this computer. */
export function isPlainForOthers({ protocol, hostname }: Pick<Location, 'protocol' | 'hostname'>): boolean {
  return protocol === 'http:' && !['localhost', '127.0.0.1', '[::1]'].includes(hostname);
}

/** Where a spreadsheet fetches a table: the key stands in the address, as spreadsheets send no headers. */
export function addressOf(origin: string, table: string, key: string): string {
  return `${origin}/api/out/csv/${encodeURIComponent(table)}?key=${encodeURIComponent(key)}`;
}
