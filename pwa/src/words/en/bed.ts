import { counter, form } from '../plural';

const pots = counter('en', { one: 'pot', other: 'pots' });

export const bed = {
  seenOf: (seen: number, standing: string) => `${pots(seen)} checked, ${standing} on record`,
  walkedBy: (when: string, who: string) => `walked ${when} by ${who}`,
  leftBy: (seen: number, about: number, standing: string, when: string, who: string) =>
    `${about > seen ? `${seen} of about ${pots(about)}` : pots(seen)} checked ${when} by ${who}, not finished · ${standing} on record`,
  neverTitle: 'Nobody has walked this bed yet',
  never:
    'A scout opens it on the phone under Today and taps “Start walk”. Their notes appear here as they reach the server.',
  closed: (until: string) =>
    `Closed until ${until}: restricted-entry interval (REI). No walk can start before then. The label is the law.`,
  walk: 'Walk',
  walkOption: (day: string, who: string, value: string) => `${day} · ${who} · ${value}`,
  note: 'Add a note',
  csv: 'Download as CSV',
  startHere: 'Start walk here',
  edit: {
    open: 'Edit bed',
    names: {
      name: 'Name',
      entry_end: 'Name of the entry end',
      far_end: 'Name of the far end',
      aisles: 'Where one can walk',
      near_side: 'Name of the near side',
      far_side: 'Name of the far side',
      rows: 'Rows',
      across: 'Pots across',
      length_mm: 'Length',
      width_mm: 'Width',
    },
    aisles: { near: 'near side only', far: 'far side only', both: 'both sides' },
    sides: 'The near side is on your right as you walk in from the entry end. Scouts are sent to a side by its name.',
    sameSides: 'Both sides have the same name. Give each its own.',
    lotsBeyond: (row: number) => `A lot stands up to row ${row}. Move it first, or enter at least ${row} rows.`,
  },
  askRound: 'Blind second look',
  size: (length: string, width: string, rows: number, across: number) =>
    `${length} by ${width}, ${rows} rows of ${across}`,

  evenTitle: 'How even',
  limitingTrait: (trait: string) => `held back by ${trait}`,
  outOf: 'out of 100 pots near their lot’s mean',
  tooFewPots: (n: number) => `Only ${pots(n)} checked: too few for a number. Check more before you judge the bed.`,
  notMeasured: 'No head was measured and no buds were counted on this walk.',
  fewInLots: (count: number) =>
    `Fewer than five pots were measured in ${counter('en', { one: 'lot', other: 'lots' })(count)}, so the interval is unreliable there.`,
  withoutSlips: (value: string) => `Without the values that look mistyped it would be ${value}.`,
  trait: (trait: string, value: string, n: number) => `${trait}: ${value}, ${pots(n)}`,
  enough: 'Enough pots were checked for the certainty set for this crop.',
  enoughOfRest: (from: number, to: number, isOneSide: boolean) =>
    isOneSide
      ? `Enough pots for the part that was walked; rows ${from} to ${to} were walked from one side only.`
      : `Enough pots for the rows that were walked; rows ${from} to ${to} were not.`,
  more: (count: number) =>
    `About ${count} more ${form('en', count, { one: 'pot', other: 'pots' })} would reach the certainty set for this crop.`,
  minimum: (count: number) => `${pots(count)} short of the minimum for a walk.`,
  maximum: 'The walk reached the maximum number of pots.',
  edge: (seen: string, bed: string) => `${seen} of the pots checked are at an aisle, against ${bed} of the whole bed.`,
  between: (value: string, n: number) => `${value} of the spread in head size is between lots (${pots(n)}).`,

  saysTitle: 'What the walk shows',
  saysUnderWay: 'The walk in progress changes nothing here until it ends.',
  saysPart: 'This walk is not finished. This is from the pots checked so far.',
  saysNone: 'Nothing stands out along the bed, across it or between lots.',

  alongTitle: 'Pots checked, along the bed',
  alongNote: 'Entry end on the left, near aisle at the bottom. To scale along the bed, stretched across it.',
  legendSeen: 'checked',
  legendTrouble: 'rot, chlorosis or disease',
  legendVoided: 'struck out',

  headsAlongTitle: 'Head size along the bed',
  headsAlongName: (said: string) => `Head size along the bed, one mark a pot. ${said}`,
  headsAlong:
    'Filled marks lie within the lot’s band, open ones out of it. Lines with their 90\u202f% bands are fitted by least squares.',
  headsAlongShare:
    'Lots of different size are shown as a share of their own mean. Filled marks lie within the band, open ones out of it. Lines with their 90\u202f% bands are fitted by least squares.',
  evenAxis: 'uniformity, of 100 pots',
  walks: counter('en', { one: 'walk', other: 'walks' }),
  budsAxis: 'buds on a pot',
  headAxis: (unit: string) => `head, ${unit}`,
  shareAxis: 'head, % of the lot’s mean',
  alongAxis: (unit: string, entry: string) => `${unit} from the ${entry || 'entry end'}`,
  fromEntry: 'From the entry end',
  slope: (lot: string, change: string, every: string, low: string, high: string, n: number) =>
    `${lot}: heads change by ${change} every ${every} from the entry end (${low} to ${high}; ${pots(n)}).`,
  slopeUnseen: (lot: string, change: string, every: string, low: string, high: string, n: number) =>
    `${lot}: no change along the bed is seen (${change} every ${every}, ${low} to ${high}; ${pots(n)}).`,
  slopeNone: (lot: string) => `${lot}: too few pots measured for a line along the bed.`,

  otherBeds: 'Other beds',
  nthOf: (nth: number, count: number) => `${nth} of ${count}`,
  pin: 'Compare with…',
  unpin: 'Compare with nothing',
  pinEarlier: (bed: string) => `${bed}, another walk`,
  pinWalk: 'Walk to compare with',
  sideBySide: (one: string, other: string) => `${one} and ${other}`,
  less: (one: string, other: string) => `${one} less ${other}`,
  of100: 'Out of 100 pots',
  sideNote:
    'In brackets are 90\u202f% intervals. A difference is bold where its interval leaves out 0: where nothing differs, chance alone makes about one of ten lines bold.',

  headTitle: 'Head size',
  budsTitle: 'Bud count',
  band: (share: string) => `The band is the lot’s mean ± ${share}; the line is the mean.`,
  dots: (trait: string, said: string) => `${trait}, one dot a pot. ${said}`,
  dotsLot: (lot: string, n: number, mean: string, inside: string) =>
    `${lot}: ${pots(n)}, mean ${mean}, ${inside} within the band`,
  inBand: (x: number, n: number) => `${x} of ${n} in the band`,
  traitNone: (trait: string) => `Nobody checked ${trait} on this walk.`,

  rootsTitle: 'Roots and leaves',
  cover: 'Root cover: how much of the root ball is covered',
  coverClass: ['none', '20\u202f%', '40\u202f%', '60\u202f%', '80\u202f%', 'all of it'],
  life: 'Root life: how much is alive',
  lifeClass: ['all dead', 'mostly dead', 'half', 'mostly alive', 'all alive'],
  patchFrom: (n: number, from: string) => `${pots(n)} are too few to show patches smaller than ${from}.`,
  notLooked: 'Not checked on this walk.',
  rot: 'Root rot',
  thin: 'Thin roots',
  chlorosis: 'Chlorosis',
  lowerBrown: 'Lower leaves brown at the pot wall',
  lowerBrownTicked: (count: number) => `noted on ${pots(count)}; not asked for every pot, so no share`,
  lowerBrownNote: 'normal where pots are close together; not counted as disease',
  disease: 'Disease suspected',
  severity: (index: string, n: number) => `severity index ${index} of 100 over ${pots(n)}`,
  softFlush: (n: number) => `${pots(n)} with soft new flush, which is naturally light`,

  lotsTitle: 'Lot by lot',
  lot: 'Lot',
  rows: 'Rows',
  standing: 'On record',
  seen: 'Checked',
  headMean: 'Head, mean',
  headCv: 'Head, CV',
  headEven: 'Head, uniformity',
  headCounted: 'Head, counted in band',
  budsMean: 'Buds, mean',
  budsCv: 'Buds, CV',
  budsEven: 'Buds, uniformity',
  budsCounted: 'Buds, counted in band',

  gradeTitle: 'Will it make grade?',
  gradeNone: 'No grades are set for this crop and pot size, or no pot was fully checked.',
  gradeOf: (n: number, standing: string) => `From ${pots(n)} fully checked, for ${standing} on record`,
  grade: 'Grade',
  gradeUnder: 'no grade',
  gradeSeen: 'Checked',
  gradeExpected: 'Expected of those on record',
  expected: (value: string, low: string, high: string) => `${value} (${low} to ${high})`,
  costs: (said: string) => `What keeps most pots out of the first grade: ${said}.`,
  cost: (line: string, fail: number, n: number) => `${line} (${fail} of ${n})`,
  line: {
    head_min_mm: 'head size',
    head_max_mm: 'too large a head',
    round_min_bp: 'roundness',
    buds_min: 'bud count',
    budded_min_bp: 'share of tips budded',
    root_cover_min: 'root cover',
    root_life_min: 'root life',
    chlorosis_max: 'chlorosis',
  },

  trendTitle: 'Walk by walk',
  trendOf: (trait: string, n: number, first: string, last: string) =>
    `${trait}: uniformity over ${counter('en', { one: 'walk', other: 'walks' })(n)}, from ${first} to ${last}`,
  trendNote:
    'Uniformity of heads and of buds, each with its 90\u202f% interval. A vertical line marks a change of scout where either number jumped: the cause may be the scout, not the bed. Numbered lines mark what was done to the bed.',
  trendOfTrait: (trait: string) => `Uniformity of ${trait}, out of 100 pots`,
  trendNoteOther: (bed: string, other: string) =>
    `Circles are ${bed}, squares and the dashed line ${other}. Bands are 90\u202f% intervals.`,
  trendBudsFrom: 'buds counted from here',
  trendWalk: 'Walk',
  trendScout: 'Scout',
  trendChanged: (trait: string) => `${trait} jumped with a change of scout`,
  notEnded: 'not finished',

  potsTitle: 'Every pot',
  potsNote: 'Corrected values are shown. Struck-out pots stay in the list but do not count.',
  place: 'Place',
  head: 'Head',
  height: 'Height',
  buds: 'Buds',
  coverShort: 'Cover',
  lifeShort: 'Life',
  scratch: 'Scratch test',
  leaves: 'Chlorosis',
  marks: 'Marks',
  words: 'Comment',
  byWhom: 'Noted by',
  whenNoted: 'When',
  outOfPlace: 'no place noted',
  voided: (why: string, who: string) => `struck out by ${who}: ${why}`,
  corrected: 'corrected',
  others: (count: number) =>
    `${counter('en', { one: 'other version', other: 'other versions' })(count)} noted separately`,
  diseaseMark: 'disease suspected',
  bypass: (count: number) => counter('en', { one: 'bypass shoot', other: 'bypass shoots' })(count),
  lowerBrownMark: 'lower leaves brown',
  softFlushMark: 'soft new flush',

  factsTitle: 'Notes about this bed',
  factsNone: 'None.',

  round: {
    title: 'Ask for a blind second look',
    intro:
      'Another scout is sent to the same pots without seeing the first values. Their readings are compared on the Scouts page and change nothing here.',
    who: 'Who takes the second look',
    anybody: 'anyone but the first scout',
    ask: 'Ask for a second look',
    asked: 'Requested. That scout’s phone shows it the next time it is in range.',
    failed: 'The request could not be saved on this device. Free some space or reload the page, then ask again.',
  },
};
