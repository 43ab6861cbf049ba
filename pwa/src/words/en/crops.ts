import { counter } from '../plural';

const grades = counter('en', { one: 'grade', other: 'grades' });
const lots = counter('en', { one: 'lot', other: 'lots' });
const changes = counter('en', { one: 'change', other: 'changes' });

export const crops = {
  title: 'Crops',

  lots,
  state: {
    waiting: (count: number) => `${counter('en', { one: 'note', other: 'notes' })(count)} on the way to the server`,
    sent: 'All notes are at the server',
  },
  intro:
    'How each crop is judged, here and on every phone. Each value is yours to set. Where you set none, Bedwalk starts with common practice, which has no source: change it to yours.',
  emptyTitle: 'No crop is named yet',
  empty: 'A crop comes with the first lot that names it. You can also set one up before.',
  common: 'common practice',
  commonLong: (value: string) => `In force: ${value}, common practice, no source; change it to yours.`,
  own: (value: string) => `In force: ${value}, set here. Left empty, common practice is used again.`,
  ownBy: (who: string, when: string) => `Set by ${who}, ${when}.`,
  summary: (howMany: number, sizes: string) => `${lots(howMany)}, pots of ${sizes}`,
  summaryNoSize: (howMany: number) => lots(howMany),
  nothingSet: 'Nothing is set here yet: it is judged by common practice alone.',
  openShort: 'Change',
  gradesNone: 'No grades are set: nothing is said of what its pots will make.',
  gradesOf: (size: string, names: string) => `${size} pot: ${names}`,
  another: 'Another crop',
  anotherNote: 'Written as on its lots.',
  anotherOpen: 'Set it up',
  differ: (count: number) => `${counter('en', { one: 'disagreement', other: 'disagreements' })(count)} to settle`,

  group: { even: 'When is a bed even', walks: 'Walks', trouble: 'When is a bed in trouble', ship: 'Before shipping' },
  groupNote: {
    even: 'A change is reckoned through all walks, past ones too, as soon as it is at the server.',
    walks: 'Phones follow at their next meeting with the server.',
    trouble:
      'Chlorosis and root rot, each by a test that goes on pot by pot until it can tell fine from too much. These four values say how hard it looks.',
    ship: 'When the grades judge, how many pots a promise takes, and what goes missing between the last look and the truck.',
  },
  field: {
    head_tolerance_bp: 'Head tolerance',
    bud_tolerance_bp: 'Bud tolerance',
    walk_every_days: 'Days between walks',
    min_pots: 'Fewest pots of a walk',
    max_pots: 'Most pots of a walk',
    width_bp: 'Wanted width of the uniformity’s interval',
    expected_cv_bp: 'Spread expected on a first walk',
    trouble_ok_bp: 'Share of pots in trouble that is fine',
    trouble_bad_bp: 'Share of pots in trouble that is too much',
    risk_false_bp: 'Risk of a false alarm',
    risk_miss_bp: 'Risk of a miss',
    expected_loss_bp: 'Loss expected before shipping',
    promise_min: 'Fewest pots to promise from',
    graded_from_weeks: 'Graded from, weeks before the ship week',
    grades: 'Grades',
    crop: 'Crop',
  },
  means: {
    head_tolerance_bp:
      'How far a head may be from its lot’s mean and still count as even. Wider: more pots count, and uniformity rises.',
    bud_tolerance_bp: 'The same for the bud count. The weaker of the two is the bed’s uniformity.',
    walk_every_days: 'So many days after a walk the bed is due again. Where crops share a bed, the fewest days count.',
    min_pots: 'No walk is called enough before so many pots are seen.',
    max_pots: 'A walk ends at so many pots, however unsure it still is.',
    width_bp:
      'A walk goes on until the interval is this narrow: 70 to 90 is 20 points wide. Narrower is surer and takes more pots.',
    expected_cv_bp:
      'How much heads differ within a lot (CV), to say how many pots a first walk takes. Later the bed’s own spread counts.',
    trouble_ok_bp: 'So many pots in trouble, or fewer, and the bed should pass.',
    trouble_bad_bp:
      'So many, or more, and the bed should be flagged. Closer to the share that is fine takes more pots.',
    risk_false_bp: 'How often a bed that is fine may be flagged all the same. Less takes more pots.',
    risk_miss_bp: 'How often a bed with too much trouble may pass all the same. Less takes more pots.',
    expected_loss_bp: 'Taken off before a bed’s page says how many pots are safe to promise.',
    promise_min: 'Nothing is promised of a lot, or of lots together, before this many pots are checked in full.',
    graded_from_weeks:
      'The grades judge a lot from so many weeks before its ship week on. Before, its pots still grow and nothing is said of grades. A lot without a ship week is graded at any time.',
  },
  plusMinus: (value: string) => `± ${value}`,
  points: (value: string) => `${value} points`,
  weeks: (count: number) => counter('en', { one: 'week', other: 'weeks' })(count),
  pointsSign: 'points',
  minAbove: (name: string, other: string, most: string) =>
    `${name}: more than “${other}”, which is ${most}. Type ${most} or less, or raise that one.`,
  maxBelow: (name: string, other: string, least: string) =>
    `${name}: less than “${other}”, which is ${least}. Type ${least} or more, or lower that one.`,
  badBelow: (name: string, other: string, least: string) =>
    `${name}: must be more than “${other}”, which is ${least}. Type more, or lower that one.`,
  okAbove: (name: string, other: string, most: string) =>
    `${name}: must be less than “${other}”, which is ${most}. Type less, or raise that one.`,

  gradesTitle: 'Grades',
  gradesIntro:
    'A pot gets the first grade, from the top, whose every line it meets. A line left empty is not asked. A pot that meets none gets no grade, and counts as that. A pot on which an asked line was not looked at is undecided: it is left out of the count, and in no grade for a promise.',
  gradeList: (size: string) => `${size} pot`,
  gradeListNone: 'No grades for this pot size yet.',
  gradeAdd: (size: string) => `Add a grade for the ${size} pot`,
  gradeFull: (most: number) => `A crop has at most ${most} grades. Take one out first.`,
  sizeAnother: 'Another pot size',
  sizeAdd: 'Begin its list',
  sizesNone: 'No lot of this crop has a pot size yet. Give one here to begin.',
  gradeNew: 'new grade',
  gradeChange: (name: string) => `Change ${name}`,
  gradeClose: (name: string) => `Close ${name}`,
  gradeUp: (name: string) => `Move ${name} up`,
  gradeDown: (name: string) => `Move ${name} down`,
  gradeOut: (name: string) => `Take out ${name}`,
  gradeTaken: (name: string) => `${name} is taken out.`,
  change: 'Change',
  close: 'Close',
  up: 'Up',
  down: 'Down',
  out: 'Take out',
  asksNothing: 'asks nothing: every pot gets it',
  line: {
    name: 'Name',
    head_min_mm: 'Head, from',
    head_max_mm: 'Head, to',
    round_min_bp: 'Roundness, at least',
    buds_min: 'Buds, at least',
    budded_min_bp: 'Share of tips budded, at least',
    root_cover_min: 'Root cover, at least',
    root_life_min: 'Root life, at least',
    chlorosis_max: 'Chlorosis, at worst',
  },
  lineNote: {
    head: 'mean of the two diameters',
    round: 'smaller diameter over the larger; needs both',
    budded: 'needs the bare tips counted too',
  },
  says: {
    head: (low: string, high: string) => `head ${low} to ${high}`,
    headFrom: (low: string) => `head from ${low}`,
    headTo: (high: string) => `head to ${high}`,
    round: (value: string) => `round ${value}`,
    buds: (count: string) => `buds ${count}`,
    budded: (value: string) => `tips budded ${value}`,
    cover: (written: string) => `root cover ${written}`,
    life: (written: string) => `roots ${written}`,
    chlorosis: (written: string) => `chlorosis at worst ${written}`,
  },
  notAsked: 'not asked',
  chlorosisClass: ['none', 'degree 1 of 4', 'degree 2 of 4', 'degree 3 of 4', 'degree 4 of 4'],
  headOver: (low: string) =>
    `Head, to: below the size from which it is asked. Type ${low} or more, or lower the other.`,
  nameTwice: (name: string) => `Name: ${name} is there twice for this pot size. Give one another name.`,

  seenTitle: 'What pots that were seen would get',
  seenLot: 'Pots of',
  seenWalked: (lot: string, ago: string) => `${lot}, walked ${ago}`,
  seenCaption: (n: number, lot: string, ago: string) =>
    `${counter('en', { one: 'pot', other: 'pots' })(n)} of ${lot} checked in full, walked ${ago}`,
  seenNone: 'No walk has seen a lot of this crop in this pot size yet. After the first walk its pots are graded here.',
  seenWrong: 'The pots are graded here again once what is wrong above is right.',
  seenEdited: 'By the grades as they stand above, saved or not.',
  noGrade: 'no grade',
  pots: 'Pots',
  grade: 'Grade',

  unsaved: (count: number) => `${changes(count)} not saved; kept on this device, also when you leave this page`,
  notYet: 'Not saved yet. Put these right first:',
  save: 'Save',
  discard: 'Discard',
  discarded: 'Changes discarded.',
  saved: (crop: string) => `${crop}: saved. It goes to the server by itself; beds and lots are judged anew there.`,
  gradesBy: (count: number, who: string) => `${grades(count)} by ${who}`,
  noGrades: 'no grades',
  setGrades: (crop: string) => `Set grades for ${crop}`,
};
