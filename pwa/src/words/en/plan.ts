import { counter } from '../plural';

const lots = counter('en', { one: 'lot', other: 'lots' });
const days = counter('en', { one: 'day', other: 'days' });
const lengths = counter('en', { one: 'stage length', other: 'stage lengths' });

export const plan = {
  title: 'Plan',
  intro:
    'A line for each lot, the soonest ship week first. Solid: done. Dotted: still to come. Hatched: when it will be ready; 8 of 10 such lots fall inside. Upright bar: the day it must be ready. Triangle: the latest day for its next step.',
  emptyTitle: 'No lots to plan',
  empty: 'Lots that have not shipped appear here. Scouts can add a lot on the phone.',
  count: (all: number, late: number) =>
    late === 0 ? `${lots(all)}, none late for a step` : `${lots(all)}, ${late} late for a step`,
  lateOnly: 'only lots that are late or will probably miss their week',
  noneMatch: 'No lot matches. Choose other filters.',
  makesIt: 'In time',
  noWeek: 'no ship week',
  week: (week: string) => `ships ${week}`,
  lateShort: (late: number) => `late ${days(late)}`,
  drawing: (name: string, ready: string) => `${name}: ${ready}`,
  close: 'Close',
  openLot: 'Open the lot',
  noneOwn:
    'All stage lengths are still the ones Bedwalk starts with. Enter your own under Crops: every date here follows from them.',
  toCrops: 'Stage lengths under Crops',

  step: {
    stuck: 'stuck',
    into_liner: 'potted as liner',
    into_small_pot: 'into the small pot',
    into_finished_pot: 'into the finished pot',
    last_pinch: 'last pinch or clip',
    regulator: 'growth regulator',
    into_cooler: 'into the cooler',
    into_forcing: 'into forcing',
    ready: 'ready',
  },
  stage: {
    root: 'rooting',
    liner: 'liner',
    small_pot: 'small pot',
    finished_pot: 'finished pot',
    grow_out: 'growing out',
    bud_set: 'bud set',
    cold: 'cold',
    forcing: 'forcing',
  },
  stageMeans: {
    root: 'From sticking to the first pot.',
    liner: 'From the first pot to the next.',
    small_pot: 'From the small pot to the finished pot.',
    finished_pot: 'From the finished pot to the last pinch or clip.',
    grow_out: 'From the last pinch or clip to the growth regulator, or to the cooler where none is used.',
    bud_set: 'From the growth regulator to ripe buds.',
    cold: 'In the cooler. Never go in alone, and know where the alarm and the exit are.',
    forcing: 'From the cooler to ready for sale.',
  },

  lotTitle: 'The way ahead',
  late: (step: string, ago: number, latest: string) =>
    `Late: the latest day for “${step}” was ${days(ago)} ago, ${latest}.`,
  slow: (step: string, after: number, latest: string) =>
    `“${step}” will likely come ${days(after)} after its latest day, ${latest}.`,
  ready: (likely: string, from: string, to: string) =>
    `Likely ready ${likely}. 8 of 10 such lots are ready between ${from} and ${to}.`,
  readyOpen: (likely: string, from: string) =>
    `Likely ready ${likely}, at the earliest about ${from}. How late it may get is too uncertain to say.`,
  readyUnknown: 'When it will be ready is too uncertain to say.',
  readyPast: (likely: string) => `By these lengths it was likely ready on ${likely}.`,
  inTime: (week: string, by: string, chance: string) => `For ${week} it must be ready by ${by}: ${chance}.`,
  chance: (tenths: number) =>
    tenths === 0
      ? 'fewer than 1 in 10 make it'
      : tenths === 10
        ? 'more than 9 in 10 make it'
        : `about ${tenths} in 10 make it`,
  chanceShort: (tenths: number) =>
    tenths === 0 ? 'under 1 in 10' : tenths === 10 ? 'over 9 in 10' : `${tenths} in 10`,
  problem: {
    no_stages: (crop: string) => `No stage lengths are known for ${crop}. Enter them under Crops.`,
    start_unknown:
      'No day is known for any step of this lot. When was it stuck or potted? Enter the day under “What is known” on its page.',
    shipped: 'This lot has shipped.',
    stock: 'This lot is kept for cuttings and not for sale, so it has no way to a ship week.',
  },
  notOwn: (notOwn: number, all: number) =>
    all === 1
      ? 'The stage length still to come is not your own.'
      : notOwn === all
        ? `None of the ${lengths(all)} still to come is your own.`
        : `${notOwn} of the ${lengths(all)} still to come ${notOwn === 1 ? 'is' : 'are'} not your own.`,
  allOwn: 'All stage lengths still to come are your own.',

  gate: {
    title: 'What must be seen before the next step',
    root_cover: (least: string) => `root cover ${least} or more`,
    root_life: (least: string) => `root life ${least} or more`,
    head_mm: (least: string) => `a head of ${least} or more`,
    buds: (least: string) => `${least} buds or more`,
    before: 'What must be seen before it ends',
    nothing: 'nothing',
    lines: {
      root_cover: 'root cover (0 to 5)',
      root_life: 'root life (1 to 5)',
      head_mm: 'head size',
      buds: 'buds',
      buds_ready: 'buds ready, noted by a person',
    },
    atLeast: 'at least',
    atLeastIn: (unit: string) => `at least, ${unit}`,
    share: 'on so many pots, %',
    asks: (share: string, line: string) => `${share} of the pots should have ${line}.`,
    seen: (met: number, looked: number, standing: string, low: string, high: string) =>
      `${met} of ${looked} pots have it: ${low} to ${high} of all ${standing}.`,
    walk: (on: string, scouts: string) => (scouts === '' ? `Walk of ${on}.` : `Walk of ${on}, ${scouts}.`),
    state: {
      open: 'Enough pots have it.',
      not_yet: 'Not yet: too few pots have it.',
      unsure: 'Not certain: look at more pots.',
      stale: 'The last walk is more than two weeks old. Look again.',
      not_looked_at: 'Nobody has looked since this stage began.',
    },
    unwalked: 'Not certain: the lot also stands on a bed without a finished walk.',
    closedUntil: (until: string) =>
      `So the plan does not count on the next step before ${until} (half of two weeks after the walk).`,
    budsReady: (on: string) => `Buds seen ready for the cooler on ${on}.`,
    budsNot: 'Nobody has noted that the buds are ready for the cooler. Look at them first, then note it as work done.',
    short: {
      open: 'enough seen',
      not_yet: 'not yet',
      unsure: 'not certain',
      stale: 'walk too old',
      not_looked_at: 'not looked at',
    },
    shortSeen: (met: number, looked: number, state: string) => `${met} of ${looked} pots: ${state}`,
    shortBuds: (state: string) => `buds: ${state}`,
  },
  table: { step: 'Step', when: 'Done, or likely', latest: 'Latest day', rests: 'Rests on' },
  dayUnknown: 'done, day not known',
  between: (likely: string, from: string, to: string) => `${likely} (${from} to ${to})`,
  openEnd: (likely: string, from: string) => `${likely} (from ${from})`,
  tooUncertain: 'too uncertain to say',
  others: (on: string) => `also noted for ${on}`,
  byBed: 'known from its bed',
  outOfOrder: 'Noted for an earlier day than the step before it. Check both days.',
  notNoted: 'Not noted yet, so counted as not done.',
  planned: (on: string) => `planned for ${on}`,
  plannedFree: (on: string, why: string) =>
    `planned for ${on}, when nobody works (${why}): the next working day counts`,
  moved: (from: string, to: string, why: string) => `${from} → ${to}: ${why}.`,
  weekend: 'weekend',
  latestBoth: (likely: string, safe: string) => `${likely} for an even chance, ${safe} for 9 in 10`,
  latestOne: (likely: string) => `${likely} for an even chance`,
  lengthOf: (stage: string, quick: number, middle: number, slow: number) =>
    quick === slow ? `${stage}: ${days(slow)}` : `${stage}: ${quick} to ${days(slow)}, middle ${middle}`,
  standing: {
    own: 'your own',
    published: 'published',
    practice: 'common practice, no source',
    memory: 'from memory, not checked',
    walks: 'from how its heads grow, by its walks',
  },
  ownFor: {
    cultivar: 'your own, for this cultivar',
    size: 'your own, for this pot size',
    crop: 'your own, for the crop',
  },
  source: (standing: string, source: string) => `${standing}: ${source}`,

  edit: 'Try other days or another week',
  editIntro:
    'A planned step does not count before its day. Leave a day empty to let it follow from the stage lengths. Nothing is written until you take it.',
  plannedDay: (step: string) => `Planned: ${step}`,
  shipWeek: 'Ship week',
  noShipWeek: 'none',
  past: 'This day has passed. Note the step as done instead, or choose a later day.',
  tryIt: 'Try it',
  needsServer: 'Trying needs the server. Planned days can be taken without it.',
  save: 'Take it',
  cancel: 'Leave it as it is',
  saved: (what: string) => `Taken into the plan: ${what}.`,
  tried: {
    title: 'As it would be',
    what: 'What',
    now: 'As it stands',
    would: 'Tried',
    ready: 'Likely ready',
    booking: 'This booking',
    inTime: 'Ready in time',
    latest: (step: string) => `Latest day: ${step}`,
    safe: (week: string, grade: string) => `${week}: safe to promise, ${grade}`,
    missing: (week: string) => `${week}: booked pots that are not sure`,
    undecided: (week: string) => `${week}: booked pots of lots not known yet`,
    none: '–',
    old: 'The fields have changed since. Try it again.',
    whyNone: 'Why nothing is safe to promise',
    allBooked: (sure: string) => `Bookings take all ${sure} pots that are sure.`,
    noneSure: 'Of the lots that will be ready, no pot is sure to make a grade.',
  },

  stagesTitle: 'How long each stage takes',
  stagesIntro:
    'Think of ten lots: how many days did the quickest, the middle one and the slowest take? The plan’s dates follow from these. Leave all three empty to go back to what Bedwalk starts with, if it has any.',
  quickest: 'quickest',
  middle: 'middle',
  slowest: 'slowest',
  ofTen: (stage: string, which: string) => `${stage}, ${which} of ten, in days`,
  now: (quick: number, middle: number, slow: number) => `Now ${quick}, ${middle} and ${days(slow)}`,
  none: 'Not set, and Bedwalk has nothing to start with: lots of this crop skip the stage.',
  allThree: (stage: string) => `${stage}: enter all three numbers, or none.`,
  gateDays: (stage: string) =>
    `${stage}: enter its three numbers of days too. What must be seen is saved together with them.`,
  order: (stage: string) => `${stage}: the quickest must not be over the middle, nor the middle over the slowest.`,
};
