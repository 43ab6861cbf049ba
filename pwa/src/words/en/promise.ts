import { counter, form } from '../plural';

const pots = counter('en', { one: 'pot', other: 'pots' });

/** What may be promised of a lot, and what is booked. */
export const promise = {
  safe: (count: string, grade: string) => `${count} safe to promise as ${grade}`,
  safeNone: (grade: string) => `Nothing more is safe to promise as ${grade}`,
  note: (loss: string) =>
    `At least this many will be there in 19 of 20 walks, after ${loss} loss before shipping and what is booked. Read each line by itself: what you promise of one grade comes off the others.`,
  alone: 'This lot by itself. Where each lot of a bed is promised by itself, one of them falls short more often.',
  together: (lots: string) => `${lots} together`,
  togetherNote: 'Promised jointly: the sum holds in 19 of 20 walks, from whichever of the lots the pots come.',
  over: (count: number, grade: string) =>
    `Overbooked: ${pots(count)} more ${form('en', count, { one: 'is', other: 'are' })} booked as ${grade} than ${form('en', count, { one: 'is', other: 'are' })} sure to be there. Change or cancel a booking, or look at more pots.`,
  orBetter: (grade: string) => `${grade} or better`,
  caption: (whole: number, seen: number, standing: string) =>
    `From ${pots(seen)} seen, ${whole} of them checked in full, for ${standing} standing`,
  grade: 'Grade',
  inGrade: 'Seen in it or better',
  sure: 'Sure, before loss',
  booked: 'Booked in it or better',
  more: 'Safe to promise more',
  left: (count: number) =>
    `${pots(count)} left after the walk; each counts as one in grade, because the best go first.`,
  part: (standing: string, all: string) =>
    `Only for ${standing} of ${all} pots on record: no finished walk has seen the others.`,
  early: (day: string) => `Too early to grade: grading starts ${day}.`,
  earlyKnown: (said: string) => `Known so far: ${said}.`,
  earlyHead: (size: string) => `head ${size}`,
  earlyBuds: (count: string) => `buds ${count}`,
  earlyNothing: 'No size and no bud count is known yet.',
  few: (whole: number, least: number) =>
    `Nothing to promise yet: ${pots(whole)} checked in full, and it takes at least ${least}.`,
  ledger: 'Nothing to promise: fewer pots are on record than were seen. Recount the lot first.',
  uncounted: 'Nothing to promise: nobody has counted these pots. Count them first.',
  shipped: 'The lot has shipped: nothing more is promised, and its bookings are closed.',
  unwalked: 'Nothing to promise yet: no finished walk has seen this lot.',
  noWeek: 'No ship week is set, so nobody can say whether it is too early to grade. Set it on the lot.',
  undecided: (count: number) =>
    `${pots(count)} undecided: left out of the forecast, and not counted toward any promise.`,
  decide: (count: number, said: string) =>
    `To decide ${form('en', count, { one: 'it', other: 'them' })}, look at ${said}.`,
  lack: (line: string, count: number) => `${line} (${pots(count)})`,
  severity: 'how pale the leaves are',

  title: 'Promise and bookings',
  noGrades: 'No grades are set for this crop and pot size: nothing is said of what may be promised.',
  bookings: 'Bookings',
  none: 'Nothing is booked of this lot.',
  served:
    'Pots shipped count toward that week’s bookings first, then older ones, then next week’s. The rest stays open.',
  free: (count: number) => `${pots(count)} shipped without a booking.`,
  enter: 'Enter a booking',
  change: 'Change',
  changeOf: (buyer: string) => `Change the booking of ${buyer}`,
  cancel: 'Cancel this booking',
  renew: 'Book it again',
  buyer: 'Buyer',
  pots: 'Pots',
  week: 'Ship week',
  weekNone: 'not set',
  weekFrom: (week: string, day: string) => `${week} (from ${day})`,
  shippedSoFar: 'Shipped',
  open: 'Open',
  state: 'State',
  states: { open: 'open', shipped: 'shipped', cancelled: 'cancelled', closed: 'closed: the lot has shipped' },
  overdue: 'its week is over: ship, change or cancel it',
  before: (week: string) => `before the lot’s ship week, ${week}`,
  unknownGrade: 'no such grade here: counted as the best',
  notThere: 'not counted yet: waits for the server',
  save: 'Save the booking',
  saved: (count: number, buyer: string) => `${pots(count)} booked for ${buyer}.`,
  cancelledSaid: (buyer: string) => `The booking of ${buyer} is cancelled. It stays in the history.`,
  gradeMissing: 'Grade: choose one.',
  nothingChanged: 'Nothing has changed.',

  edit: 'Change what is known',
  editSave: 'Save',
  editCancel: 'Discard',
  editSaved: (fields: string) => `Changed: ${fields}.`,
  todayDay: (day: string) => `${day} (today)`,
  notKnown: 'not known',
};
