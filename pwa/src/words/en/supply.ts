import { counter } from '../plural';
import { spelling } from '../variety';

const canceled = spelling('canceled', 'cancelled');
const lots = counter('en', { one: 'lot', other: 'lots' });
const pots = counter('en', { one: 'pot', other: 'pots' });
const weeks = counter('en', { one: 'ship week', other: 'ship weeks' });
const bookings = counter('en', { one: 'booking', other: 'bookings' });

export const supply = {
  title: 'Supply by ship week',
  parts: 'Parts of the plan',
  toLots: 'Calendar',
  toWeeks: 'Ship weeks',
  toWork: 'Work',
  toTomorrow: 'Which beds next',
  toCooler: 'Cooler',
  toRight: 'How right it was',
  toRoutes: 'Two routes',
  toLog: 'Applications',
  intro:
    'What each ship week will have against what is booked. “Safe to promise” is what comes on top of the bookings: with your stage lengths and walks, there are fewer pots than that in at most 1 case of 20. Each number holds while nothing else is promised. Bookings are met in the order in which they were entered: what is sure for one leaves every earlier one what it was sure of.',
  differs:
    'The page of a lot takes off the same losses, but it takes for granted that the lot is ready in time, and that its pots stay in the grade that the last walk saw. Here its chance of being ready counts, and a good or a bad season for its grades, so the numbers differ. From what a week may still promise, all that is booked is taken off; a lot or a cultivar may still promise what one more booking of it would be sure of.',
  assumes: (season: string) =>
    `Assumed, with no source: lots of one cultivar have good and bad seasons together (in two of three, a half in grade becomes ${season}; change it under Crops), and a warm or a cold spring speeds up or slows down all lots together (in 19 springs of 20 by less than 10\u202f% of the days still to come). What a lot loses differs from what is expected of it, by lot and by season: where 5 of 100 are lost on average, 3 to 9 in nine lots of ten.`,
  empty: 'No lot has a ship week yet. Set it on the page of the lot.',
  count: (all: number, over: number) =>
    over === 0 ? `${weeks(all)}, every booking is sure` : `${weeks(all)}, ${over} with bookings that are not sure`,
  overOnly: 'only weeks with bookings that are not sure',
  risk: { over: 'Overbooked', likely: 'Likely short', may: 'May be short' },
  beside: 'What is still safe to promise here is of lots, cultivars or grades that these bookings do not take.',
  noneMatch: 'No week matches. Choose other filters.',
  kind: (week: string, crop: string, pot: string) => `${week}: ${crop}, ${pot}`,
  undecided: (missing: number) => `For ${pots(missing)} booked, nobody can say yet: walk those lots.`,
  noGrades: 'No grades are set for this pot size, so nothing can be said. Enter them under Crops.',
  lotsKnown: (known: number, all: number) =>
    known === all
      ? `${lots(all)}, all counted`
      : `${known} of ${lots(all)} counted; of the others nothing is known yet`,
  table: {
    grade: 'Grade',
    expected: 'Likely there',
    booked: 'Booked',
    safe: 'Safe to promise',
    short: 'Chance of too few',
  },
  /** A week in a line. */
  line: {
    week: 'Ship week',
    expected: 'Likely there, any grade',
    others: 'Other ship weeks',
    kind: (crop: string, pot: string) => `${crop}, ${pot}`,
    safe: (all: string, best: string) => `${all}, of them ${best}`,
    missing: (missing: number) => `${pots(missing)} not sure`,
  },
  orBetter: (grade: string) => `${grade} or better`,
  between: (expected: string, low: string, high: string) => `${expected}\u00a0(${low}\u00a0to\u00a0${high})`,
  sureTitle: 'How sure',
  sureOf: (grade: string, sure: string, average: string) =>
    `${grade}: ${sure} sure before bookings, ${average} on average.`,
  alone: (alone: string) => `Promised lot by lot it would be ${alone}.`,
  unknown: 'not known yet',
  atMost: (chance: string) => `at most ${chance}`,
  moreNotSure: (count: number) =>
    count === 1 ? 'One more booking that is not sure' : `${count} more bookings that are not sure`,
  open: (count: number, booked: number) => `${lots(count)}, ${bookings(booked)}`,
  lotsTitle: 'Lots',
  bookingsTitle: 'Bookings',
  basis: {
    walk: (seen: number, whole: number, all: number, on: string, scouts: string) =>
      `${whole} of ${seen} pots seen could be graded, ${pots(all)} on record; walk of ${on}${scouts === '' ? '' : `, ${scouts}`}.`,
    earlier: (count: number) => `By ${lots(count)} that shipped before; no pot of this lot seen.`,
    unknown: 'Not known yet: no finished walk since it may be graded, or too few pots graded in it. Counted as none.',
    uncounted: 'A stretch of it is not counted. Count its pots first. Counted as none.',
    ledger: 'Fewer pots on record than were seen. Recount it. Counted as none.',
    no_dates: 'Nobody can say when it is ready. Counted as none.',
  },
  ready: (chance: string) => `Ready in time: ${chance}.`,
  notSafe: (week: string) => `Under 19 in 20 to be ready: by itself it is good for nothing here. Safe from ${week} on.`,
  notSafeEver: 'Under 19 in 20 to be ready: by itself it is good for nothing here.',
  left: (share: string) => `${share} of its pots left by then, by its losses so far.`,
  leftStages: (share: string) => `${share} of its pots left by then, by what you wrote of its stages to come.`,
  leftCrop: (share: string) => `${share} of its pots left by then, as expected for the crop.`,
  sure: (list: string) => `Sure by itself: ${list}.`,
  safeOf: (list: string) => `May still be promised of it: ${list}.`,
  leans: (count: number) => `Bookings that name no lot need ${pots(count)} of it.`,
  cultivarsTitle: 'By cultivar',
  cultivar: (name: string, safe: string, sure: string) =>
    `${name}. May still be promised: ${safe}. Sure before bookings: ${sure}.`,
  anyOf: (what: string) => `any lot of ${what}`,
  tryWeek: 'Try another week',
  tryWeekOf: (lot: string) => `Try another week for ${lot}`,
  gradeSure: (count: string, grade: string) => `${count} ${grade}`,
  booking: (buyer: string, count: number, grade: string, lot: string) =>
    `${buyer}: ${pots(count)}, ${grade}, from ${lot}.`,
  noBuyer: 'no buyer named',
  noGrade: 'no grade named',
  noLot: 'no lot named',
  met: 'Can be met.',
  why: {
    few: (missing: number) => `${pots(missing)} not sure.`,
    not_ready: (missing: number) => `${pots(missing)} not sure: a lot may not be ready.`,
    earlier: (missing: number) => `${pots(missing)} not sure: bookings entered before it may need them.`,
    unknown: (missing: number) => `${pots(missing)}: nobody can say yet.`,
    stock: (missing: number) => `${pots(missing)} cannot be met: the lot is kept for cuttings and not for sale.`,
    week: (missing: number) => `${pots(missing)} cannot be met: the lot is not in this week.`,
    none: (missing: number) => `${pots(missing)} cannot be met: no lot of this week is of that kind.`,
  },
  shortOf: (chance: string) => `Chance that it cannot be met in full: ${chance}.`,
  elsewhere: (count: number) => `${pots(count)} more can be met if any lot of this week may serve it.`,
  otherWeek: (week: string) => `The lot ships in ${week}.`,
  lotNoWeek: 'The lot has no ship week.',
  closedTitle: (count: number) => `${bookings(count)} of any lot, shipped or ${canceled}`,
  unplacedTitle: 'Bookings in no week',
  unplaced:
    'They name no week and their lot has none, their lot is not here, or they name neither a lot nor a crop and pot size. Set what is missing.',
  sheet: {
    title: 'Bring in a sheet of bookings',
    intro:
      'One row for each booking: buyer, pots and grade; a lot’s tag, or crop, pot size and ship week, with the cultivar if only one will do. Price and order number may be left out. The first row names the columns, in any order. Nothing is booked twice.',
    row: (buyer: string, count: number, grade: string, of: string, week: string) =>
      `${[buyer, pots(count), grade, of, week].filter(Boolean).join(', ')}.`,
    there: 'Booked already: left as it is.',
    noPots: 'No pots. Write at least 1, or leave the row out.',
    past: (week: string) => `${week} has passed. Write this week or a later one.`,
    grade: (grade: string, known: string) =>
      grade === ''
        ? `The grade is missing. Write one of ${known}.`
        : `No grade is called “${grade}” here. Write one of ${known}.`,
    lot: (tag: string, found: number) =>
      found === 0
        ? `No lot has the tag ${tag}. Correct it, or write crop, pot size and ship week instead.`
        : `${lots(found)} have the tag ${tag}. Book it on the page of the lot.`,
    notForSale: (tag: string) =>
      `Lot ${tag} has shipped or is kept for cuttings. Book another lot, or any lot of its crop.`,
    crop: (crop: string, known: string) =>
      crop === ''
        ? `No lot and no crop. Write a lot’s tag, or one of ${known}.`
        : `No crop is called “${crop}” here. Write one of ${known}.`,
    cultivar: (name: string, known: string) =>
      `No cultivar is called “${name}” here. Write one of ${known}, or leave it empty.`,
    size: (crop: string, known: string) => `No lot or grade of ${crop} has this pot size. Write one of ${known}.`,
    sum: (count: number) => `New: ${bookings(count)}.`,
    booking: 'Booking',
    save: (count: number) => `Enter ${bookings(count)}`,
    saved: (count: number) => `${bookings(count)} entered.`,
  },
};
