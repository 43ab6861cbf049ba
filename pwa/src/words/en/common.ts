import { counter } from '../plural';
import { spelling } from '../variety';

const pots = counter('en', { one: 'pot', other: 'pots' });
const notes = counter('en', { one: 'note', other: 'notes' });
const days = counter('en', { one: 'day', other: 'days' });

export const common = {
  language: 'English',
  pots,
  notes,
  days,
  walks: counter('en', { one: 'walk', other: 'walks' }),
  lots: counter('en', { one: 'lot', other: 'lots' }),
  beds: counter('en', { one: 'bed', other: 'beds' }),

  save: 'Save',
  undo: 'Undo',
  close: 'Close',
  cancel: 'Cancel',
  back: 'Back',
  next: 'Next',
  done: 'Done',
  tryAgain: 'Try again',
  asTable: 'As a table',
  lonePoint: 'one walk so far',
  sideways: 'More to the right: swipe the table',
  sortBy: 'Sort by',
  asListed: 'as listed',
  turnRound: 'Reverse order',
  loading: 'Getting the records…',
  going: (person: string, seen: number) => `${person} is walking it, ${pots(seen)}`,
  goingSelf: (seen: number) => `you are walking it, ${pots(seen)}`,
  unknown: 'not known',
  notLookedAt: 'not checked',
  notSeen: 'not checked',
  none: 'none',
  yes: 'yes',
  no: 'no',
  more: (by: number | string) => `${by} more`,
  less: (by: number | string) => `${by} less`,
  digit: (digit: string) => digit,
  andFraction: { 25: 'and a quarter, next', 5: 'and a half, next', 75: 'and three quarters, next' },
  eraseOne: 'Erase the last digit',
  clear: 'Clear',

  to: (low: string, high: string) => `${low} to ${high}`,
  withRange: (value: string, low: string, high: string) => `${value} (${low} to ${high})`,
  between: (from: string, to: string) => `between ${from} and ${to}`,
  of: (part: string, whole: string) => `${part} of ${whole}`,
  shareSeen: (x: number, n: number, low: string, high: string) => `${x} of ${pots(n)} (${low} to ${high})`,
  noneStillAllows: (n: number, high: string) => `none in ${pots(n)} (could be up to ${high})`,
  allStillAllows: (n: number, low: string) => `all ${pots(n)} (could be as few as ${low})`,
  tooFew: 'too few checked',
  noSizes: 'no sizes',
  week: (week: string, year: string) => `week ${week}, ${year}`,
  today: 'today',
  yesterday: 'yesterday',
  ago: (count: number) => `${days(count)} ago`,
  atTime: (time: string) => `at ${time}`,
  atDay: (day: string, time: string) => `on ${day} at ${time}`,
  untilTime: (time: string) => time,
  untilDay: (day: string, time: string) => `${day} at ${time}`,

  /** Crops by their keys that have another name in this language. */
  crops: {} as { [key: string]: string | undefined },

  metre: 'm',
  foot: 'ft',
  centimetre: 'cm',
  inch: 'in',
  /** Where hardly a letter fits. */
  inchShort: 'in',
  litre: 'L',
  // The imperial gallon is a fifth larger.
  gallon: spelling('gal', 'US gal'),

  uniformity: 'Uniformity',
  head: 'head size',
  buds: 'bud count',
  roots: 'roots',
  chlorosis: 'chlorosis',
  height: 'height',
  row: 'row',

  chlorosisWhere: {
    none: 'none',
    young: 'young leaves, veins green',
    old: 'old leaves',
    whole: 'whole plant',
  },
  scratch: { firm_white: 'firm, white inside', soft: 'soft, skin slides off', not_scratched: 'not scratched' },
  voidWhy: {
    mistake: 'a mistake',
    wrong_pot: 'the wrong pot',
    wrong_bed: 'the wrong bed',
    twice: 'noted twice',
    other: 'another reason',
  },
  roles: { scout: 'scout', supervisor: 'supervisor', owner: 'owner' },

  strip: {
    name: (bed: string, lots: number, seen: number) =>
      `${bed} from the entry end: ${counter('en', { one: 'lot', other: 'lots' })(lots)}, ${pots(seen)} checked`,
    entry: 'entry',
    here: 'next pot',
    seen: 'checked',
    trouble: 'with trouble',
    voided: 'struck out',
    planned: 'still planned',
    rows: (from: number, to: number) => `rows ${from} to ${to}`,
    tableOfPots: 'The pots on the strip',
    state: 'What it shows',
    lot: 'Lot',
    row: 'Row',
    across: 'From the near side',
  },

  problem: {
    unexpected: 'The app could not read the server’s answer. Reload the page. If that does not help, tell the owner.',
    notFound: 'There is nothing at this address. It may be mistyped.',
  },
};
