import { counter, stop } from '../plural';
import { spelling } from '../variety';

const grades = counter('en', { one: 'grade', other: 'grades' });
const lots = counter('en', { one: 'lot', other: 'lots' });
const changes = counter('en', { one: 'change', other: 'changes' });

export const crops = {
  title: 'Crops',

  lots,
  state: {
    pending: (count: number) => `${counter('en', { one: 'note', other: 'notes' })(count)} to send`,
    sent: 'All notes sent',
  },
  intro:
    'How each crop is judged, here and on every phone. You can set every value. Where you set none, Bedwalk uses common practice, which has no source: change it to suit you.',
  emptyTitle: 'No crops yet',
  empty: 'A crop appears with the first lot that names it. You can also set one up now.',
  common: 'common practice',
  commonLong: (value: string) => `Now ${value}: common practice, no source. Change it to suit you.`,
  own: (value: string) => `Now ${value}, set here. Leave it empty to go back to common practice.`,
  ownBy: (who: string, when: string) => stop(`Set by ${who}, ${when}`),
  summary: (howMany: number, sizes: string) => `${lots(howMany)}, pots of ${sizes}`,
  summaryNoSize: (howMany: number) => lots(howMany),
  nothingSet: 'Nothing is set here yet; common practice applies.',
  openShort: 'Change',
  gradesNone: 'No grades are set, so Bedwalk cannot say what its pots will make.',
  gradesOf: (size: string, names: string) => `${size} pot: ${names}`,
  another: 'Another crop',
  anotherNote: 'Spell it as on its lots.',
  anotherOpen: 'Set it up',
  differ: (count: number) => `${counter('en', { one: 'disagreement', other: 'disagreements' })(count)} to settle`,

  group: { even: 'When is a bed even', walks: 'Walks', trouble: 'When is a bed in trouble', ship: 'Before shipping' },
  groupNote: {
    even: 'A change applies to all walks, past ones too, as soon as it reaches the server.',
    walks: 'Phones get the change the next time they are in range.',
    trouble:
      'Chlorosis and root rot are each tested pot by pot until it is clear whether there is too much. These four values say how strict the test is.',
    ship: 'When grading starts, how many pots a promise needs, and what is lost between the last walk and the truck.',
  },
  field: {
    head_tolerance_bp: 'Head tolerance',
    bud_tolerance_bp: 'Bud tolerance',
    uniformity_aim_bp: 'Uniformity you aim for',
    walk_every_days: 'Days between walks',
    min_pots: 'Minimum pots per walk',
    max_pots: 'Maximum pots per walk',
    width_bp: 'Target width of the uniformity interval',
    expected_cv_bp: 'Spread expected on a first walk',
    trouble_ok_bp: 'Acceptable share of pots in trouble',
    trouble_bad_bp: 'Unacceptable share of pots in trouble',
    risk_false_bp: 'Risk of a false alarm',
    risk_miss_bp: 'Risk of a miss',
    expected_loss_bp: 'Loss expected before shipping',
    promise_min: 'Minimum pots for a promise',
    graded_from_weeks: 'Grading starts, weeks before the ship week',
    sharing_sd_milli: 'How much good and bad seasons differ',
    grades: 'Grades',
    crop: 'Crop',
  },
  means: {
    head_tolerance_bp:
      'How far a head may be from its lot’s mean and still count as even. If it is wider, more pots count and uniformity rises.',
    bud_tolerance_bp: 'The same for the bud count. The lower of the two is the bed’s uniformity.',
    uniformity_aim_bp:
      'A bed at this uniformity or above is drawn light in the plan of beds, up to 15 points below it in the middle tone, further below dark. A bed that can be graded already and is surely below it stands under “Needs you”.',
    walk_every_days:
      'A bed is due again this many days after a walk. Where crops share a bed, the shortest time counts.',
    min_pots: 'A walk never counts as enough until this many pots are checked.',
    max_pots: 'A walk ends at this many pots, even if the result is still uncertain.',
    width_bp:
      'A walk continues until the interval is this narrow: 70 to 90 is 20 points wide. A narrower one is more certain and takes more pots.',
    expected_cv_bp:
      'How much heads differ within a lot (CV). It sets how many pots a first walk takes; later walks use the bed’s own spread.',
    trouble_ok_bp: 'With this share in trouble, or less, the bed should pass.',
    trouble_bad_bp:
      'With this share, or more, the bed should be flagged. The closer it is to the acceptable share, the more pots a walk takes.',
    risk_false_bp: 'How often a good bed may be flagged anyway. A lower risk takes more pots.',
    risk_miss_bp: 'How often a bed with too much trouble may pass anyway. A lower risk takes more pots.',
    expected_loss_bp:
      'Taken off what is safe to promise where the lot’s own losses and the shares of its stages to come are not known.',
    promise_min: 'Nothing is promised from a lot, or from lots together, before this many pots are fully checked.',
    sharing_sd_milli:
      'Lots of one cultivar share a good or a bad season. This is how far their share in grade moves with it: with 0.35, a half in grade becomes 41 to 59\u202f% in about two seasons of three. With 0, no season differs. The larger it is, the less a ship week is sure of.',
    graded_from_weeks:
      'A lot is graded from this many weeks before its ship week. Before that its pots are still growing, so it gets no grade. A lot without a ship week is graded at any time.',
  },
  plusMinus: (value: string) => `± ${value}`,
  seasons: (value: string, low: string, high: string) => `${value}: a half in grade becomes ${low} to ${high}`,
  points: (value: string) => `${value} points`,
  weeks: (count: number) => counter('en', { one: 'week', other: 'weeks' })(count),
  pointsSign: 'points',
  minAbove: (name: string, other: string, most: string) =>
    `${name}: higher than “${other}” (${most}). Enter at most ${most}, or raise “${other}”.`,
  maxBelow: (name: string, other: string, least: string) =>
    `${name}: lower than “${other}” (${least}). Enter at least ${least}, or lower “${other}”.`,
  badBelow: (name: string, other: string, least: string) =>
    `${name}: must be higher than “${other}” (${least}). Enter more, or lower “${other}”.`,
  okAbove: (name: string, other: string, most: string) =>
    `${name}: must be lower than “${other}” (${most}). Enter less, or raise “${other}”.`,

  gradesTitle: 'Grades',
  gradesIntro:
    'Bedwalk tries the grades from the top down, and a pot gets the first one it meets in full. An empty requirement is not checked. A pot that meets no grade counts as “no grade”. A pot missing a value that a grade needs is undecided: it is left out of the count and of every promise.',
  gradeList: (size: string) => `${size} pot`,
  gradeListNone: 'No grades for this pot size yet.',
  gradeAdd: (size: string) => `Add a grade for the ${size} pot`,
  gradeFull: (most: number) => `A crop can have ${most} grades. Remove one first.`,
  sizeAnother: 'Another pot size',
  sizeAdd: 'Start its list',
  sizesNone: 'No lot of this crop has a pot size yet. Enter one here to start.',
  gradeNew: 'new grade',
  gradeChange: (name: string) => `Change ${name}`,
  gradeClose: (name: string) => `Close ${name}`,
  gradeUp: (name: string) => `Move ${name} up`,
  gradeDown: (name: string) => `Move ${name} down`,
  gradeOut: (name: string) => `Remove ${name}`,
  gradeTaken: (name: string) => `${name} removed.`,
  change: 'Change',
  close: 'Close',
  up: 'Up',
  down: 'Down',
  out: 'Remove',
  asksNothing: 'no requirements: every pot gets it',
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
    price_c: 'Price of a pot',
  },
  lineNote: {
    head: 'mean of the two diameters',
    round: 'smaller diameter divided by the larger; needs both',
    budded: 'needs the bare tips counted too',
  },
  says: {
    head: (low: string, high: string) => `head ${low} to ${high}`,
    headFrom: (low: string) => `head from ${low}`,
    headTo: (high: string) => `head up to ${high}`,
    round: (value: string) => `round ${value}`,
    buds: (count: string) => `buds ${count}`,
    budded: (value: string) => `tips budded ${value}`,
    cover: (written: string) => `root cover ${written}`,
    life: (written: string) => `roots ${written}`,
    chlorosis: (written: string) => `chlorosis at worst ${written}`,
  },
  notAsked: 'not required',
  chlorosisClass: ['none', 'slight', 'medium', 'severe', 'brown edges'],
  headOver: (low: string) => `Head, to: below “Head, from”. Enter at least ${low}, or lower “Head, from”.`,
  nameTwice: (name: string) => `Name: ${name} is used twice for this pot size. Rename one.`,

  seenTitle: 'What the checked pots would get',
  seenLot: 'Pots of',
  seenWalked: (lot: string, ago: string) => `${lot}, walked ${ago}`,
  seenCaption: (n: number, lot: string, ago: string) =>
    `${counter('en', { one: 'pot', other: 'pots' })(n)} of ${lot} fully checked, walked ${ago}`,
  seenNone: 'No lot of this crop in this pot size has been walked yet. After the first walk its pots are graded here.',
  seenWrong: 'Correct the values above to see the pots graded again.',
  seenEdited: 'By the grades shown above, saved or not.',
  noGrade: 'no grade',
  pots: 'Pots',
  grade: 'Grade',

  unsaved: (count: number) => `${changes(count)} not saved; kept on this device even if you leave this page`,
  notYet: 'Not saved yet. Correct these first:',
  save: 'Save',
  discard: 'Discard',
  discarded: 'Changes discarded.',
  saved: (crop: string) => `${crop}: saved. The server will judge its beds and lots by the new values.`,
  gradesBy: (count: number, who: string) => `${grades(count)} by ${who}`,
  noGrades: 'no grades',
  setGrades: (crop: string) => `Set grades for ${crop}`,
  lists: {
    costs: 'Costs of the stages',
    yields: 'How many come through',
    targets: 'Head sizes by day',
    sizes: 'By pot size',
  },
  stagesSet: (count: number) => `set for ${counter('en', { one: 'stage', other: 'stages' })(count)}`,
  yields: {
    title: 'How many come through',
    intro:
      'Of 100 that begin a stage, how many come through it? And how many plants go into one pot? Leave a field empty if you do not know. From these numbers the page of a lot of cuttings says how many pots to expect, and ship weeks and the two routes count the losses to come of a lot whose stages ahead all have a share here.',
    share_bp: 'Come through',
    plants_each: 'Plants in a pot',
    spoken: (stage: string, field: string) => `${stage}, ${field}`,
    cuttings: (pots: string, cuttings: string) =>
      `For ${pots} pots that come through all of these stages it takes about ${cuttings} cuttings.`,
    open: (stages: string) => `Not written, so counted as if none were lost: ${stages}.`,
  },
  sizes: {
    title: 'By pot size',
    intro:
      'Where one pot size differs from the rest of the crop. Fill in only what differs: what you leave empty is the crop’s. Days and costs count for the lots that stand in pots of that size now, so a lot in a smaller pot follows the crop until it is potted on. A cultivar’s own days come before those of a pot size. Grades and head sizes by day have their pot size below.',
    legend: (stage: string, size: string) => `${stage}, ${size} pots`,
    without: (crop: string) => `With no days of its own it follows the crop. ${crop}`,
    part: {
      share_bp: 'Come through',
      plants_each: 'Plants in a pot',
      labour_s: 'Work, seconds',
      material_c: 'Materials',
      pots_m2_c: spelling('Pots on a square meter', 'Pots on a square metre'),
    },
    spoken: (stage: string, size: string, field: string) => `${stage}, ${size} pots, ${field}`,
    spokenLength: (length: string, size: string) => `${length}, ${size} pots`,
    asCrop: 'as for the crop',
    stage: 'Stage',
    pot: 'Pots of',
    add: 'Add this size',
    full: (most: number) => `A crop can have ${most} of these. Remove one first.`,
    noSizes: 'No pot size is known yet. One comes with a lot of this crop or with a grade.',
    noStages: 'This crop has no stages yet. Fill in the days of one above and save.',
    out: 'Remove',
    outOf: (what: string) => `Remove ${what}`,
    taken: (what: string) => `${what}: removed.`,
    count: (count: number) => `set for ${counter('en', { one: 'stage and size', other: 'stages and sizes' })(count)}`,
  },
  targets: {
    title: 'Head sizes by day',
    intro:
      'Your own target band: which mean head do you want so many days after the last pinch or clip? The page of each lot draws it behind its walks, straight between your rows. Rows for any size count for a pot size that has none of its own. Nothing is decided by it: for a growth regulator the label decides.',
    none: 'No rows yet. Bedwalk knows no published band to start with: write your own, or leave it out.',
    legend: (row: number) => `Row ${row}`,
    field: { day: 'Day after the pinch', low_mm: 'Lower edge', high_mm: 'Upper edge' },
    pot: 'For pots of',
    everyPot: 'any size',
    spoken: (row: number, field: string) => `Row ${row}, ${field}`,
    add: 'Add a row',
    full: (most: number) => `A crop can have ${most} rows. Remove one first.`,
    out: 'Remove',
    outOf: (row: number) => `Remove row ${row}`,
    taken: (row: number) => `Row ${row} removed.`,
    below: (name: string, low: string) =>
      `${name}: below the lower edge. Enter at least ${low}, or change the lower edge.`,
    twice: (name: string, day: number) =>
      `${name}: day ${day} is there twice for this pot size. Change one of them, or remove it.`,
    said: (size: string | undefined, day: number, low: string, high: string) =>
      `${size === undefined ? 'any pot' : `${size} pot`}, day ${day}: ${low} to ${high}`,
    count: (count: number) => counter('en', { one: 'row', other: 'rows' })(count),
    empty: 'no rows',
  },
  cultivar: {
    title: 'Cultivars',
    intro: 'A cultivar follows its crop in everything except what is set for it.',
    none: 'No lot of this crop names a cultivar yet. Each one that a lot names gets a page here.',
    own: (count: number) =>
      count === 0 ? 'follows the crop' : `${counter('en', { one: 'value', other: 'values' })(count)} of its own`,
    field: { name: 'Cultivar', of_crop: 'Crop', note: 'Comment', root_share_bp: 'Cuttings that root' },
    rootShareMeans:
      'Of 100 cuttings of this cultivar, how many root? Leave it empty to follow the crop. For a lot whose rooting was counted, its own count is used.',
    noteMeans: 'What is special about growing it',
    stagesTitle: 'Stages that differ from the crop',
    stagesIntro:
      'Think of ten lots of this cultivar: how many days did the quickest, the middle one and the slowest take? Leave all three empty to follow the crop.',
    follows: (said: string) => `Follows the crop. ${said}`,
    took: (count: number, days: string) => `Its last ${lots(count)} took ${days} days.`,
    use: (quick: number, middle: number, slow: number) => `Use ${quick}, ${middle} and ${slow} days`,
    isThere: 'These lots’ days are in the fields above.',
    cropsOwn: 'the crop’s own',
    weighed: (quick: number, middle: number, slow: number, standing: string, worth: number) =>
      `Weighed against ${quick}, ${middle} and ${slow} days (${standing}), which count as ${lots(worth)}: an assumption, no source. Nothing changes until you save.`,
    ended: (days: number, on: string) => `${counter('en', { one: 'day', other: 'days' })(days)}, ended ${on}`,
    saved: (name: string) => `${name}: saved. The plan of its lots follows once it reaches the server.`,
  },
};
