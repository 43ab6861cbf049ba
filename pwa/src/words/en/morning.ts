/** The morning screen: what needs a supervisor, the beds in strips, and the ship weeks beside them. */
import { counter, form, stop } from '../plural';

const beds = counter('en', { one: 'bed', other: 'beds' });
const walks = counter('en', { one: 'walk', other: 'walks' });
const things = counter('en', { one: 'thing', other: 'things' });
const notes = counter('en', { one: 'note', other: 'notes' });
const values = counter('en', { one: 'value', other: 'values' });
const phones = counter('en', { one: 'phone', other: 'phones' });
const days = counter('en', { one: 'day', other: 'days' });
const pots = counter('en', { one: 'pot', other: 'pots' });

export const morning = {
  needs: (count: number) =>
    count === 0 ? 'Nothing needs you' : `${things(count)} ${form('en', count, { one: 'needs', other: 'need' })} you`,
  due: (count: number) => (count === 0 ? 'no bed due' : `${beds(count)} due`),
  walking: (count: number) => (count === 0 ? 'no walk under way' : `${walks(count)} under way`),
  title: 'Needs you',
  none: 'Nothing needs a step. Due beds and walks are in the plan.',
  arriving: 'Getting the list from the server…',
  some: (shown: number, all: number) => `${shown} of ${all}`,
  all: (count: number) => `all ${count}`,
  fewer: 'the first 8',
  away: (count: number) => `${count} settled or snoozed`,
  show: 'show',
  hide: 'hide',

  inBed: (bed: string, said: string) => `${bed}: ${said}`,
  flag: {
    rot: (x: number, n: string) => `root rot in ${x} of ${n}`,
    chlorosis: (x: number, n: string) => `chlorosis on ${x} of ${n}`,
    disease: (x: number, n: string) => `disease suspected on ${x} of ${n}`,
  },
  pots,
  bounds: (low: string, high: string) => `(${low} to ${high})`,
  /** How sure that is, in per cent. */
  interval: (low: string, high: string) => `90\u202f% interval: ${low} to ${high}.`,
  before: (x: number, n: number) => `The walk before: ${x} of ${n}.`,
  onlyLot: (lot: string) => `Only in lot ${lot}.`,
  rotCare: 'Send roots to a lab before treating.',
  diseaseCare: 'Leave them alone: do not move or dump them.',
  dropped: (trait: string, now: string, before: string) => `${trait} less even: ${now}, was ${before}`,
  droppedBounds: (now: string, before: string) => `Now ${now}, before ${before}.`,
  uneven: (trait: string, now: string) => `${trait} uneven, ${now} of 100 pots in the band`,
  ownAim: (aim: string) => `You aim for ${aim}.`,
  startAim: (aim: string) => `The aim is ${aim} until you set your own under Crops.`,
  ships: (lot: string, week: string) => `${lot} ships ${week}.`,
  otherScout: 'Another scout walked: part of it may be how they measure.',
  late: (lot: string, step: string, late: number) => `${lot}: ${step} is ${days(late)} late`,
  hardly: (lot: string, week: string) => `${lot} will probably miss ${week}`,
  surely: (lot: string, week: string) => `${lot} will almost certainly miss ${week}`,
  ready: (on: string) => `Likely ready ${on}.`,
  chance: (chance: string, week: string) => `Chance for ${week}: ${chance}.`,
  notOwn: (count: number, all: number) =>
    all === 1
      ? 'The stage length is Bedwalk’s, not yours.'
      : `${count === all ? `All ${all}` : `${count} of ${all}`} stage lengths ${form('en', count, { one: 'is', other: 'are' })} Bedwalk’s, not yours.`,
  overbooked: (week: string, crop: string, pot: string, missing: number) =>
    `${week}, ${crop} ${pot}: ${pots(missing)} booked beyond what is sure`,
  tooFew: (chance: string) => `Chance of too few: ${chance}.`,
  disagree: (lot: string, field: string) => `${lot}: two people wrote different values for “${field}”`,
  quarantined: (count: number, phone: string) =>
    `${notes(count)}${phone === '' ? '' : ` from ${phone}`} ${form('en', count, { one: 'waits', other: 'wait' })} for your decision`,
  noBackup: 'No backup yet',
  oldBackup: (when: string) => `No backup since ${when}`,
  backupLacks: (count: number) => `${notes(count)} ${form('en', count, { one: 'is', other: 'are' })} in none.`,
  backups: 'Backups',
  lastBackup: (when: string, lacks: number) =>
    lacks === 0
      ? stop(`All notes are in the last backup, made ${when}`)
      : `${stop(`The last backup was made ${when}`)} ${notes(lacks)} ${form('en', lacks, { one: 'has', other: 'have' })} come since.`,
  backupHow: 'On the server: bedwalk backup --to FOLDER; bedwalk serve --backup-to FOLDER makes them by itself.',
  silent: (count: number, names: string) =>
    `${phones(count)} ${form('en', count, { one: 'has', other: 'have' })} not been heard: ${names}`,
  silentPending: (count: number) => `${notes(count)} not sent, as they last said.`,
  silentSince: (count: number, when: string) => stop(count === 1 ? `Last heard ${when}` : `The longest since ${when}`),
  webhook: (name: string) => `Webhook “${name}” was switched off`,
  webhookHow: 'Its messages were not taken. An owner switches it on again in Set up, Other programs.',
  mistyped: (count: number, where: string) =>
    `${values(count)} ${form('en', count, { one: 'looks', other: 'look' })} mistyped: ${where}`,
  back: {
    day: (name: string) => `Snoozed by ${name} until today.`,
    worse: (name: string) => `Back because it got worse than when ${name} put it away.`,
    found: (name: string) => `${name} settled it; a later walk found it again.`,
  },
  settledBy: (name: string, when: string) => `Settled by ${name} ${when}`,
  snoozedBy: (name: string, until: string) => `Snoozed by ${name} until ${until}`,

  send: 'Send a scout',
  settle: 'Settle',
  snooze: 'Snooze to…',
  bringBack: 'Bring back',
  openLot: 'Open the lot',
  openPlan: 'Open in Plan',
  openWeeks: 'Open the week',
  lookAt: (count: number) => `Look at ${notes(count)}`,
  backUpNow: 'Back up now',
  backingUp: 'Backing up…',
  backedUp: (name: string) => `Backed up: ${name}`,
  tabs: { needs: 'Needs you', beds: 'Beds', tomorrow: 'Tomorrow', more: 'More' },
  toPhones: 'See the phones',
  checkThem: 'Check them',
  keep: (value: string) => `Keep ${value}`,
  settled: (what: string) => `Settled: ${what}`,
  snoozed: (what: string, until: string) => `Snoozed until ${until}: ${what}`,
  broughtBack: (what: string) => `Back in the list: ${what}`,
  kept: (value: string) => `Kept ${value}`,
  snoozeTitle: 'Snooze to a day',
  snoozeNote: 'It comes back on that day, or sooner if it gets worse.',
  snoozeDay: 'Day',
  save: 'Save',
  sendTitle: (bed: string) => `Send a scout to ${bed}`,
  sendTo: 'Who',
  sendDue: 'By which day',
  sendWords: 'What to do',
  /** What was found names its bed. */
  sendWork: (found: string) => `Check again: ${found}`,
  sent: (name: string) => `${name} was sent`,
  onTheWay: (name: string, until: string) => `${name} goes to this bed${until === '' ? '' : ` by ${until}`}.`,
  callBack: 'Call back',
  callBackOf: (name: string) => `Call ${name} back`,
  calledBack: (name: string) => `${name} was called back`,
  noScout: 'Choose who goes.',
  strip: (hit: number, all: number) => `Where in the bed: ${hit} of ${pots(all)} with a place show it`,

  bedsTitle: (count: number) => beds(count),
  bedsNote: 'uniformity, 90\u202f% interval',
  view: 'View',
  plan: 'Plan',
  table: 'Table',
  weeks: 'Ship week',
  noWeek: 'No ship week',
  stripFew: (count: number) => `few: ${pots(count)}`,
  dueCount: (count: number) => `${count} due`,
  meanOf: (mean: string) => `mean uniformity ${mean}`,
  stage: 'Stage',
  finding: 'Finding',
  anyFinding: 'any',
  findings: {
    rot: 'root rot',
    chlorosis: 'chlorosis',
    disease: 'disease suspected',
    dropped: 'less even than before',
    uneven: 'uneven',
    late: 'late for its week',
    mistyped: 'mistyped values',
  },
  walkingOnly: 'walk under way',
  rank: (rank: number) => `number ${rank} in the list`,
  foldNote:
    'Each block is a bed, filled from the foot by its share of pots out of the band. Hatched: too few pots checked. Open a house for its beds.',
  openHouse: (name: string) => `Open ${name}`,
  shutHouse: (name: string) => `Close ${name}`,
  legend: {
    over: (aim: number | undefined) => (aim === undefined ? 'at the aim or over' : `${aim} and over`),
    middle: (aim: number | undefined, by: number) =>
      aim === undefined ? `up to ${by} below it` : `${aim - by} to ${aim - 1}`,
    under: (aim: number | undefined, by: number) => (aim === undefined ? 'further below' : `under ${aim - by}`),
    few: 'too few pots',
    walking: 'walk now',
    rank: 'in the list',
    lots: 'lots meet',
  },
  legendNote:
    'The block is the share of pots out of the band, not a place in the bed. The line at the foot is the 90\u202f% interval.',
  legendOwn: 'The tones go by the uniformity that you aim for in each crop.',
  legendCommon: 'Set the uniformity that you aim for under Crops; where none is set, 75 (common practice, no source).',

  promise: 'Ship weeks',
  promiseHead: { week: 'Week', booked: 'Booked', safe: 'Safe' },
  promiseNone: 'No lot has a ship week yet.',
  promiseNote:
    'Box: pots of any grade in 90 of 100 cases. Thick mark: booked. Safe: pots of any grade that can still be promised, and how many of them of the best grade, each crop and pot size by itself.',
  promiseBest: (pots: string) => `${pots} best`,
  urgent: 'Most urgent:',
  least: 'Least even:',
  promiseMissing: (pots: string, crop: string, pot: string) => `${crop} ${pot}: ${pots} not sure`,
  promiseShort: (weeks: string) => `Promised beyond what is sure: ${weeks}.`,
  tomorrow: 'Which beds next',
};
