import { counter } from '../plural';

export const week = {
  title: (week: string) => `Weekly sheet: ${week}`,
  print: 'Print',
  toSheet: 'Weekly sheet',
  asOf: (site: string, when: string) => `${site}, as of ${when}`,
  steps: 'What needs a step',
  more: (n: number) => `The page Beds has ${n} more.`,
  beds: counter('en', { one: 'bed', other: 'beds' }),
  bedsNote:
    'Number: uniformity, of 100 pots. Filled: share of pots out of their lot’s band. Bold with a box: due, to tick when walked. Dashed: no walk yet, or too few pots checked.',
  few: 'few',
  walks: (n: number) => `Due for a walk: ${counter('en', { one: 'bed', other: 'beds' })(n)}`,
  closed: (beds: string, count: number, until: string) =>
    `${beds} ${count === 1 ? 'is' : 'are'} closed until ${until} (restricted-entry interval).`,
  weeks: 'Ship weeks',
  weeksNote:
    'Expected: pots of any grade in 90 of 100 cases. Safe: pots of any grade that can still be promised, and how many of them of the best grade.',
  head: { week: 'Week', expected: 'Expected', booked: 'Booked', safe: 'Safe' },
  between: (low: string, high: string) => `${low} to ${high}`,
};
