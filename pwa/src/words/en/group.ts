import { counter, form, stop } from '../plural';

const pots = counter('en', { one: 'pot', other: 'pots' });
const lots = counter('en', { one: 'lot', other: 'lots' });

export const group = {
  title: 'Nurseries side by side',
  nurseries: 'Nurseries',
  for: (name: string) => `For ${name}`,
  intro: 'Each number is of one nursery, from the same notes as its own pages. Nothing is added up across nurseries.',
  update: 'Update',
  asking: 'Asking the nurseries…',
  noLink: 'This address lacks the part after #. Open the whole link that you were given.',
  unknown:
    'This link opens nothing here. Compare it with the one that you were given, to its last character, or ask for a new one.',
  revoked: 'This link was revoked. Ask for a new one.',
  away: 'None of the nurseries of this link answers at the moment. Try again in a few minutes.',
  failed: 'The nurseries could not be shown',
  several: 'several crops on a bed',
  noName: 'no crop named',

  missing: {
    title: 'What is missing',
    slow: (nursery: string) => `${nursery} did not answer in time. Update in a minute.`,
    not_served: (nursery: string) =>
      `${nursery} is not served at the moment. Its server’s terminal and log say why; one that was begun since needs a start of the server.`,
    failed: (nursery: string) => `${nursery} could not be read. The server’s log says why.`,
    noBeds: (nursery: string) => `${nursery}: no lot is recorded on a bed.`,
    never: (nursery: string) => `${nursery}: no bed has been walked yet.`,
    none: (nursery: string, days: number, last: string) =>
      stop(`${nursery}: no walk in ${days} days. The last was on ${last}`),
    some: (nursery: string, recent: number, beds: number, days: number, unfinished: number) =>
      `${nursery}: ${recent} of ${beds} beds walked in the last ${days} days.${unfinished === 0 ? '' : ` ${unfinished} of these walks ${form('en', unfinished, { one: 'was', other: 'were' })} not finished.`}`,
    noBookings: (nursery: string, before: number, after: number) =>
      `${nursery}: nothing is booked for the last ${before} weeks, this week or the next ${after}.`,
    unplaced: (nursery: string, count: number) =>
      `${nursery}: ${pots(count)} booked without a ship week, or of a lot that is not for sale. They are not in the weeks below.`,
  },

  crop: 'Crop',
  nursery: 'Nursery',
  even: {
    title: 'How even the beds are',
    intro:
      'Uniformity by the last walk of each bed: of 100 pots, how many are close to their lot’s mean. Heads or buds, whichever is less even.',
    empty: 'No bed has a score yet.',
    scored: 'Beds with a score',
    of: (scored: number, beds: number) => `${scored} of ${beds}`,
    middle: 'Middle bed',
    range: 'Lowest to highest',
    least: 'Least even bed',
    leastOf: (bed: string, value: string) => `${bed}: ${value}`,
  },
  grades: {
    title: 'Grades',
    intro:
      'Pots seen whole on the last walks, of lots far enough along to be graded. They are counts of what was seen, not a promise.',
    empty: 'No pots have been graded yet.',
    best: 'Best grade',
    any: 'Any grade',
    of: (count: number, all: number, percent: string) => `${count} of ${all} (${percent})`,
    early: 'Too early',
    earlyLots: (count: number) => lots(count),
  },
  weeks: {
    over: 'Promises of weeks that are over',
    overIntro: (weeks: number) =>
      `The last ${weeks} weeks. “Short”: booked pots that have not left. Pots that left after their week count as shipped.`,
    overEmpty: (weeks: number) => `No bookings for the last ${weeks} weeks.`,
    coming: 'Promises of weeks to come',
    comingIntro: (weeks: number) =>
      `This week and the next ${weeks}. “Not sure”: booked pots that may not be there in time. “Not known”: booked pots of lots of which nothing is known yet.`,
    comingEmpty: (weeks: number) => `No bookings for this week or the next ${weeks}.`,
    week: 'Ship week',
    booked: 'Booked',
    shipped: 'Shipped',
    short: 'Short',
    unsure: 'Not sure',
    undecided: 'Not known',
  },
};
