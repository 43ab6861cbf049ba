import { counter, some, stop } from '../plural';

const walks = counter('en', { one: 'walk', other: 'walks' });
const pots = counter('en', { one: 'pot', other: 'pots' });
const notes = counter('en', { one: 'note', other: 'notes' });
const others = counter('en', { one: 'other note', other: 'other notes' });
const people = counter('en', { one: 'person', other: 'people' });

/** What people noted on a day. */
export const dayPage = {
  toYesterday: 'What was noted yesterday',
  toDays: 'What each person noted, day by day',
  title: (day: string) => `Noted on ${day}`,
  titleYesterday: (day: string) => `Noted yesterday, ${day}`,
  titleToday: (day: string) => `Noted today, ${day}`,
  toBeds: 'Beds',
  days: 'Days',
  before: 'Day before',
  next: 'Next day',
  yesterday: 'Yesterday',
  today: 'Today',
  choose: 'Day',
  by: 'Grouped by',
  byPerson: 'person',
  byBed: 'bed',
  person: 'Person',
  everybody: 'everyone',
  print: 'Print',
  sums: (walked: number, seen: number, other: number) =>
    [walked > 0 ? `${walks(walked)} with ${pots(seen)}` : '', other > 0 ? (walked > 0 ? others : notes)(other) : '']
      .filter(Boolean)
      .join(', '),
  byPeople: (said: string, count: number) => `${said}, by ${people(count)}.`,
  late: (count: number) =>
    count === 1
      ? '1 of them came in on a later day and says so.'
      : `${count} of them came in on a later day and say so.`,
  pending: 'Notes that are still on a phone out of range are added here once they come in.',
  empty: (day: string) => `No notes from ${day} have come in.`,
  emptyOf: (name: string, day: string) => `No notes by ${name} from ${day} have come in.`,
  last: (day: string) => `The last notes before: ${day}`,
  all: 'Show everyone',
  noBed: 'No bed, or several',
  noName: 'The server',
  rest: 'continued',
  moreBeds: (count: number) => `and ${counter('en', { one: 'other bed', other: 'other beds' })(count)}`,
  between: (from: string, to: string) => `between ${from} and ${to}`,
  arrived: (day: string) => `came in ${day}`,
  walk: 'walk',
  walkSeen: (seen: number, skipped: number, corrected: number) =>
    some([pots, seen], [(count) => `${count} skipped`, skipped], [(count) => `${count} corrected`, corrected]),
  walkNothing: 'no pot checked',
  corrected: (count: number) => `${pots(count)} of an earlier walk corrected`,
  ended: { enough: 'finished: enough pots checked', planned: 'finished', stopped: 'stopped early' },
  notEnded: 'not finished that day',
  wentOn: 'continued from an earlier day',
  sheet: 'added at once',
  sheetNotes: (count: number) => notes(count),
  struckOut: 'struck out',
  restored: 'restored',
  of: (name: string, when: string) => `${name}, ${when}`,
  came: 'Came in on this day, noted earlier',
  cameFrom: (count: number, day: string, names: string) => stop(`${notes(count)} of ${day}, by ${names}`),
  page: (page: string) => `Page ${page}.`,
  pageBefore: 'Page before',
  pageNext: 'Next page',
  fields: (names: string) => `changed: ${names}`,
  task: {
    done: (day: string) => `done ${day}`,
    reopened: 'no longer ticked',
    due: (day: string) => `due ${day}`,
    handed: (name: string) => `handed to ${name}`,
    takenBack: 'no longer handed out',
    cancelled: 'called off',
  },
  matter: { settled: 'settled', open: 'open again', snoozed: (day: string) => `snoozed to ${day}` },
  left: 'has left',
  second: { done: 'taken', asked: 'asked for' },
};
