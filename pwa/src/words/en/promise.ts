import { counter, form, stop } from '../plural';
import { spelling } from '../variety';

const canceled = spelling('canceled', 'cancelled');
const pots = counter('en', { one: 'pot', other: 'pots' });

/** What may be promised of a lot, and what is booked. */
export const promise = {
  safe: (count: string, grade: string) => `${count} safe to promise as ${grade}`,
  safeNone: (grade: string) => `No more are safe to promise as ${grade}`,
  note: (loss: string) =>
    `In 19 of 20 cases at least this many will be there at shipping, after losses and bookings. ${loss} Whether the lot is ready in time counts in Ship weeks, not here. Do not add the lines up: pots you promise in one grade come off the others.`,
  loss: {
    none: 'No loss before shipping is taken off.',
    own: (share: string) => `Loss taken off: ${share}, by this lot’s losses so far.`,
    stages: (share: string) => `Loss taken off: ${share}, by what you wrote of its stages to come.`,
    crop: (share: string) => `Loss taken off: ${share}, as expected for the crop.`,
    several: (share: string) => `Loss taken off: ${share}, that of the lot that may lose the most.`,
  },
  alone: 'This lot alone. If you promise several lots this way, one of them will fall short more often.',
  together: (lots: string) => `${lots} together`,
  togetherNote: 'Promised together: the total holds in 19 of 20 cases, whichever lot the pots come from.',
  over: (count: number, grade: string) =>
    `Overbooked as ${grade}: ${pots(count)} may not be there. Change or cancel a booking, or check more pots.`,
  orBetter: (grade: string) => `${grade} or better`,
  caption: (whole: number, seen: number, standing: string) =>
    `From ${pots(seen)} checked, ${whole} of them fully, for ${standing} on record`,
  grade: 'Grade',
  inGrade: 'Checked, this grade or better',
  sure: 'Sure, before loss',
  kept: 'Sure at shipping',
  booked: 'Booked, this grade or better',
  more: 'Still safe to promise',
  leftSince: (count: number) =>
    `${pots(count)} left the bed after the walk; each counts as in grade, because the best go first.`,
  part: (standing: string, all: string) =>
    `Only for ${standing} of ${all} pots on record: the others are not counted yet, or have no finished walk that is late enough to grade.`,
  early: (day: string) => stop(`Too early to grade: grading starts ${day}`),
  earlyKnown: (said: string) => `Known so far: ${said}.`,
  earlyHead: (size: string) => `head ${size}`,
  earlyBuds: (count: string) => `buds ${count}`,
  earlyNothing: 'No head size or bud count is known yet.',
  tooFewPots: (whole: number, least: number) =>
    `Nothing to promise yet: ${pots(whole)} fully checked, and at least ${least} are needed.`,
  ledger: 'Nothing to promise: fewer pots are on record than were checked. Recount the lot first.',
  uncounted: 'Nothing to promise: nobody has counted these pots. Count them first.',
  shipped: 'The lot has shipped: nothing more is promised, and its bookings are closed.',
  unwalked: 'Nothing to promise yet: no finished walk covered this lot.',
  noWeek: 'No ship week is set, so it may be too early to grade. Set it on the lot.',
  undecided: (count: number) =>
    `${pots(count)} undecided: left out of the forecast, and not counted toward any promise.`,
  decide: (count: number, said: string) =>
    `To decide ${form('en', count, { one: 'it', other: 'them' })}, check ${said}.`,
  lack: (line: string, count: number) => `${line} (${pots(count)})`,
  severity: 'how pale the leaves are',

  title: 'Promise and bookings',
  notForSale: 'This lot is kept for cuttings and not for sale, so nothing may be promised of it.',
  noGrades: 'No grades are set for this crop and pot size, so Bedwalk cannot say what may be promised.',
  bookings: 'Bookings',
  none: 'Nothing is booked from this lot.',
  served:
    'Pots shipped count toward that week’s bookings first, then older ones, then next week’s, but never toward a booking entered after they left. The rest stays open. Pots that come back come off what was shipped last, and open its booking again.',
  free: (count: number) => `${pots(count)} shipped without a booking.`,
  enter: 'Enter a booking',
  change: 'Change',
  changeOf: (buyer: string) => `Change the booking for ${buyer}`,
  cancel: 'Cancel this booking',
  renew: 'Book it again',
  buyer: 'Buyer',
  pots: 'Pots',
  week: 'Ship week',
  weekNone: 'not set',
  holidays: { valentine: 'Valentine’s Day', easter: 'Easter', mothers: 'Mother’s Day', christmas: 'Christmas Day' },
  weekFrom: (week: string, day: string) => `${week} (from ${day})`,
  shippedSoFar: 'Shipped',
  open: 'Open',
  state: 'State',
  states: { open: 'open', shipped: 'shipped', cancelled: canceled, closed: 'closed: the lot has shipped' },
  overdue: 'its week is over: ship, change or cancel it',
  before: (week: string) => `before the lot’s ship week, ${week}`,
  unknownGrade: 'no such grade here: counted as the best',
  notThere: 'not counted yet: still to send',
  save: 'Save the booking',
  saved: (count: number, buyer: string, week: string) =>
    `${pots(count)} booked for ${[buyer, week].filter(Boolean).join(', ')}.`,
  cancelledSaid: (buyer: string) => `The booking for ${buyer} is ${canceled}. It stays in the history.`,
  gradeMissing: 'Choose a grade.',
  wideIntro: 'For any lot of a crop and pot size. To book one lot, use the page of that lot.',
  crop: 'Crop',
  cultivar: 'Cultivar',
  anyCultivar: 'any cultivar',
  potSize: 'Pot size',
  choose: 'choose',
  cropMissing: 'Choose a crop.',
  potMissing: 'Choose a pot size.',
  asksMore: (there: number) =>
    there === 0
      ? 'There are no pots on record for it. Save if the buyer wants it all the same: the week shows what cannot be met.'
      : `More than the ${pots(there)} on record for it. Save if the buyer wants as many: the week shows what cannot be met.`,
  weekMissing: 'Choose a ship week.',
  price: 'Price of a pot, if agreed',
  reference: 'Order number, if any',
  leans: (count: number) =>
    `Booked includes ${pots(count)} for bookings that name no lot: the other lots of the week may not have them.`,

  edit: 'Edit',
  lotByTag: 'the tag of the other lot; empty if none',
  lotByTagWrong: (tag: string, found: number) =>
    found === 0
      ? `No lot has the tag ${tag}. Correct it, or leave it empty.`
      : `${found} lots have the tag ${tag}. Correct their tags first.`,
  lotCircle: (field: string, tag: string) => `${field}: lot ${tag} came from this one itself. Choose another.`,
  editSave: 'Save',
  editCancel: 'Discard',
  editSaved: (fields: string) => `Changed: ${fields}.`,
  todayDay: (day: string) => `${day} (today)`,
  notKnown: 'not known',
};
