import { counter, stop } from '../plural';

const walks = counter('en', { one: 'walk', other: 'walks' });
const days = counter('en', { one: 'day', other: 'days' });
const pots = counter('en', { one: 'pot', other: 'pots' });
const minutes = counter('en', { one: 'minute', other: 'minutes' });
const hours = counter('en', { one: 'hour', other: 'hours' });
const beds = counter('en', { one: 'bed', other: 'beds' });

export const tomorrow = {
  title: 'Which beds next',
  intro: (on: string) =>
    `Beds to walk on ${on}. Beds that are due come first, those with root rot on the last walk before the others. After them come the walks that tell the most per minute about how many pots a ship week will have in grade.`,
  emptyTitle: 'No bed to walk',
  empty: 'No bed is due, and no walk would tell more about a ship week. Lots need a ship week and grades under Crops.',
  times: (pot: string, potN: number, way: string, wayN: number) =>
    `By your own walks: ${pot} s a pot (median of ${potN}), ${way} min to the next bed (median of ${wayN}).`,
  noTimes:
    'No walk says how long a pot takes yet, so walks are not planned by time. Hand them out once some beds were walked.',
  hours: 'Hours each',
  hour: (count: number) => hours(count),
  nobody: 'Choose who walks to see what fits.',
  noPeople: 'Nobody is paired as a scout yet. Pair a phone under Phones.',
  fits: (name: string, count: number, time: number) => `${name}: ${walks(count)}, ${minutes(time)}`,
  left: (count: number) => `${beds(count)} left over`,
  handOut: (count: number) => `Hand out ${walks(count)}`,
  said: (count: number) => `${walks(count)} handed out`,
  task: (bed: string) => `Walk bed ${bed}`,
  table: { bed: 'Bed', why: 'Why', time: 'Time', tells: 'What it would tell', who: 'Who' },
  why: {
    never: 'never walked',
    days: (count: number) => `due: last walked ${days(count)} before`,
    part: (seen: number, about: number, count: number) =>
      `due: ${about > seen ? `${seen} of about ${pots(about)}` : pots(seen)} checked ${days(count)} before, not finished`,
    daysRoots: (count: number) => `due: root rot on the last walk, ${days(count)} before`,
    daysChlorosis: (count: number) => `due: chlorosis on the last walk, ${days(count)} before`,
    roots: 'due: root rot on the last walk',
    chlorosis: 'due: chlorosis on the last walk',
    narrows: 'tells more about its ship week',
  },
  time: (count: number, time: number) => (time === 0 ? pots(count) : `${pots(count)}, about ${minutes(time)}`),
  tells: (week: string, crop: string, pot: string, grade: string, now: string, after: string) =>
    `${week}, ${crop} ${pot}, ${grade} or better: the 90\u202f% span is about ${now} pots wide; after this walk, about ${after}.`,
  assumes:
    'Provided that the walk finds what is expected. A good or a bad season moves all lots together: the page of ship weeks counts that, this one does not.',
  handed: (name: string) => `handed to ${name}`,
  planned: (name: string) => `would be ${name}`,
  closed: (until: string) => `${stop(`Closed until ${until}`)} Not handed out.`,
};
