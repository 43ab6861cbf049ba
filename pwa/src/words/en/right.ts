import { counter } from '../plural';

const lots = counter('en', { one: 'lot', other: 'lots' });
const days = counter('en', { one: 'day', other: 'days' });
const pots = counter('en', { one: 'pot', other: 'pots' });
const answers = counter('en', { one: 'answer', other: 'answers' });

export const right = {
  title: 'How right it was',
  intro:
    'What the plan said of each lot 4, 8 and 12 weeks before it shipped, from the notes that had reached the server by the end of that day. A note that came later does not count, even if it is about an earlier day.',
  compared:
    'Nobody notes the day on which a lot is ready, so the day on which it shipped stands for it. A lot that was ready early and waited for its ship week is on time.',
  waiting: (count: number) =>
    `${answers(count)} of earlier days still to compute. Until then, counts are of the others.`,
  emptyTitle: 'No lot has shipped yet',
  empty: (since: string) =>
    `Lots that shipped since ${since} appear here. Note on a lot’s page when it ships; nothing else is needed.`,
  few: (count: number, least: number) =>
    `${lots(count)} shipped so far. Counts and the plot appear from ${least} lots on; until then, see each lot below.`,
  count: (count: number, since: string) => `${lots(count)} shipped since ${since}`,
  before: 'Weeks before shipping',
  weeks: (count: number) => `${count} weeks before`,
  scoresTitle: 'How often it was right',
  table: {
    of: 'Lots',
    inside: 'Shipped within the 90\u202f% span',
    late: 'Middle lot',
    held: 'Sure number held',
    chance: 'Chance that was said',
    came: 'Shipped in time',
    lot: 'Lot',
    left: 'Shipped',
    ready: 'Said: ready',
    days: 'Against the likely day',
    inTime: 'Ready for its week',
    pots: 'Sure pots',
    grades: 'In grade',
  },
  all: 'all lots',
  cultivar: (crop: string, cultivar: string) => `${crop}, ${cultivar}`,
  of: (count: number, n: number, low: string, high: string) =>
    `${count}\u00a0of\u00a0${n} (${low}\u00a0to\u00a0${high})`,
  none: 'nothing to compare',
  late: (count: string) => `${count} late`,
  early: (count: string) => `${count} early`,
  onTime: 'on time',
  days: (count: number, written: string) => (count === 1 ? days(1) : `${written} days`),
  plotTitle: 'Chances that were said, against how often they came true',
  plot: 'Each line is a tenth of the chances: the circle is how often such lots shipped in time, the bar its 90\u202f% interval. On the slanted line, what was said came true as often as it should. The table has the same numbers.',
  plotAxes: { said: 'chance that was said', came: 'shipped in time' },
  noTenths: 'None of these lots had a ship week then.',
  shared:
    'Intervals are 90\u202f%. Lots of one season are late together, so the true uncertainty is larger than these intervals. At least 90\u202f% within the span would be right, as lots that waited for their week count as within.',
  spread: {
    title: 'Seasons and springs',
    intro:
      'Two assumptions say how much lots are good, bad or late together. This is what your own lots showed, beside what the plan assumes now.',
    season: (crop: string, n: number, groups: number) =>
      `${crop}, how much good and bad seasons differ, from ${lots(n)} in ${groups} seasons:`,
    seasonUnknown:
      'How much good and bad seasons differ: not known yet. It takes 6 shipped lots in 3 seasons, each with a walk after the plan had said what to expect.',
    pace: (crop: string, stage: string, n: number, groups: number) =>
      `How much a spring speeds up or slows down all lots, by “${stage}” of ${crop}, from ${lots(n)} in ${groups} half-years:`,
    paceUnknown:
      'How much a spring speeds up or slows down all lots: not known yet. It takes one stage of a crop that ended in 3 half-years, by notes of its lots.',
    between: (low: string, high: string) => `(${low} to ${high}).`,
    now: (now: string, isOwn: boolean) =>
      isOwn ? `The plan assumes ${now}, your own.` : `The plan assumes ${now}, Bedwalk’s assumption with no source.`,
    fits: 'That fits.',
    off: 'That does not fit.',
    use: (value: string) => `Use ${value} from now on`,
    back: (value: string) => `Back to ${value}`,
    saved: (value: string) => `The plan assumes ${value} from now on.`,
    note: 'Seasons: the share in the best grade, walked against expected; lots of one cultivar that ship in the same half of a year share one. Springs: the days that one stage took against the likely ones, as a share; the cold is left out, since people end it. Intervals are 90\u202f%. Few seasons say little: with three, the interval is wide.',
  },
  listTitle: 'Lot by lot',
  span: (likely: string, from: string, to: string) => `${likely} (${from} to ${to})`,
  open: (likely: string, from: string) => `${likely} (${from} or later, no end known)`,
  unknownDay: 'no likely day',
  problem: {
    not_written: 'nobody had written the lot down',
    shipped: 'was noted as shipped already',
    no_stages: 'the crop had no stages',
    start_unknown: 'no step had a day',
  },
  outside: 'outside the span',
  week: (chance: string, week: string) => `${chance} for ${week}`,
  noWeek: 'no ship week then',
  made: 'made it',
  missed: 'missed it',
  sure: (count: number, shipped: number) => `${pots(count)} sure, ${shipped} shipped by then`,
  noSure: 'none sure',
  moved: 'pots went on as another lot, not compared',
  grade: (grade: string, share: string, low: string, high: string) => `${grade}: ${share} (${low} to ${high}) said`,
  saw: (count: number, n: number) => `${count} of ${n} on the last walk`,
  noShares: 'nothing known of its grades then',
};
