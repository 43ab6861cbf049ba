import { counter, stop } from '../plural';

const days = counter('en', { one: 'day', other: 'days' });
const pieces = counter('en', { one: 'piece of work', other: 'pieces of work' });
const pots = counter('en', { one: 'pot', other: 'pots' });

export const tasks = {
  title: 'Work',
  intro:
    'The next step of each lot, the earliest day first. The latest day gives an even chance of making the ship week; where none is known, the likely day is shown.',
  emptyTitle: 'No work to hand out',
  empty: 'Steps appear here once a lot has a day from which its plan can start.',
  count: (all: number, late: number, nobody: number) => `${pieces(all)}, ${late} late, ${nobody} not handed out`,
  arriving: 'Records are still arriving. You can hand out work once they are here.',
  who: 'Handed to',
  everybody: 'everyone',
  nobody: 'nobody',
  noneMatch: 'Nothing for this choice.',
  groups: {
    late: 'Late',
    soon: 'In the next 7 days',
    later: 'Later',
    undated: 'No day known',
    done: 'Done in the last 7 days',
  },
  table: {
    work: 'Work',
    lot: 'Lot',
    beds: 'Beds',
    due: 'Day',
    ticks: 'Ticked',
  },
  pots: (count: number) => pots(count),
  noBed: 'no bed on record',
  closed: (until: string) => `Closed until ${until}`,
  due: {
    handed: (day: string) => `by ${day}, set by the supervisor`,
    latest: (day: string) => `latest ${day}`,
    likely: (day: string) => `likely ${day}`,
    none: 'no day',
  },
  late: (count: number) => `${days(count)} ago`,
  latePlan: (count: number) => `${days(count)} after the plan’s latest day`,
  pick: (work: string, lot: string) => `${work}, ${lot}: hand to`,
  disputed: 'two were chosen: choose one',
  handed: (work: string, lot: string, name: string) => `${work}, ${lot}: handed to ${name}`,
  takenBack: (work: string, lot: string) => `${work}, ${lot}: no longer handed out`,
  tick: (name: string, day: string) => `${name}, ${day}`,
  twoTicks: 'The earlier day counts.',
  notCounted: 'Ticked, but the lot has no such day on record. Check the lot’s page.',
  print: (sheets: number) => `Print ${counter('en', { one: 'sheet', other: 'sheets' })(sheets)}`,
  noSheets: 'Hand out work to print a sheet for each person.',
  sheet: {
    title: (name: string) => `Work for ${name}`,
    forNobody: 'Work for nobody yet',
    asOf: (when: string) => `${stop(`As of ${when}`)} Signs posted at the house come first.`,
    done: 'Done',
    onBy: 'Day done, initials',
    ask: 'Late: ask the supervisor before you start.',
    closed: (until: string) => stop(`Do not enter: closed until ${until}`),
  },
  mine: {
    title: 'My work',
    asOf: (when: string) => `Plan as of ${when}`,
    more: (count: number) => `${count} more after these`,
    done: 'Done',
    open: 'Open',
    ask: 'Ask the supervisor before you start.',
    said: (work: string, lot: string) => `${work}, ${lot}: done today`,
  },
};
