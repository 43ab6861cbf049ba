/** The work list's parts and sentences: when a piece of work is due, whose it is, and who ticked it. */
import type { Register, WorkItem } from '../../../schema/types';
import { appWords } from '.';
import { word } from './entry';
import { day } from './format';
import { lotLine } from './names';
import { supervisorWords } from './supervisor';

const DAY = 86_400_000;
/** With today, the days of the part that comes next. */
const SOON = 7;

export const groups = ['late', 'soon', 'later', 'undated', 'done'] as const;
type Group = (typeof groups)[number];

/** A tick for which the lot's plan counts no day: somebody struck the day out, or it has not arrived. */
export function isNotCounted({ ticks, due_is: dueIs }: WorkItem): boolean {
  return ticks.length > 0 && (dueIs === 'latest' || dueIs === 'likely');
}

export function groupOf(item: WorkItem, today: string): Group {
  if (item.ticks.length > 0 && !isNotCounted(item)) return 'done';
  if (item.late_days > 0 || (item.due_is === 'handed' && item.due < today)) return 'late';
  if (item.due === '') return 'undated';
  const last = new Date(Date.parse(today) + (SOON - 1) * DAY).toISOString().slice(0, 10);
  return item.due <= last ? 'soon' : 'later';
}

export function nameOfWork({ step, words }: WorkItem): string {
  return step === '' ? words : word(supervisorWords.value.plan.step, step);
}

export function saidDue({ due, due_is: dueIs, late_days: late }: WorkItem): string {
  const words = supervisorWords.value.tasks;
  const said = due === '' ? words.due.none : words.due[dueIs as 'handed' | 'latest' | 'likely'](day(due));
  if (late === 0) return said;
  return `${said}, ${dueIs === 'latest' ? words.late(late) : words.latePlan(late)}`;
}

/** "into the cooler, AZ-118 Mothwick": what a button or a sentence calls a piece of work. */
export function workAndLot(item: WorkItem): string {
  return [nameOfWork(item), lotLine(item)].filter(Boolean).join(', ');
}

export function saidTicks({ ticks }: WorkItem): string[] {
  const words = supervisorWords.value.tasks;
  const said = ticks.map(({ name, on }) => words.tick(name || appWords.value.common.unknown, day(on)));
  return new Set(ticks.map(({ on }) => on)).size > 1 ? [...said, words.twoTicks] : said;
}

/** Two people were chosen apart, and nobody has chosen since. */
export const DISPUTED = '?';

/** Whom a piece of work is handed to: as this device knows it, else as the server does; "" for nobody. */
export function personOf(item: WorkItem, register: Register | undefined): string {
  const field = register?.fields['person'];
  if (!field) return item.person;
  if ((field.others ?? []).length > 0) return DISPUTED;
  return typeof field.value === 'string' ? field.value : '';
}
