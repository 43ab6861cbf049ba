import { counter } from '../plural';
import { spelling } from '../variety';

const lots = counter('en', { one: 'lot', other: 'lots' });
const pots = counter('en', { one: 'pot', other: 'pots' });
const weeks = counter('en', { one: 'week', other: 'weeks' });

export const routes = {
  title: 'Two routes',
  intro:
    'What a pot in the bed today would bring on each route, from today on. What was spent until now is spent either way, and so are the work and materials of the stage that the lot is in.',
  assumes:
    'Assumed: on the nursery route a pot of the best grade sells as the next grade, and the lot sells when it is ready. Prices, costs and days count as sure; the share of the best grade and the losses do not. Days and losses are those of the plan; how far a lot’s losses may be from them is assumed, with no source (see Ship weeks).',
  empty: 'No lots yet, or all have shipped.',
  count: (shown: number, all: number) => `${shown} of ${lots(all)} can be compared`,
  florist: 'Florist',
  nursery: 'Nursery',
  /** By which route leaves more. */
  answer: {
    florist: (count: number) => `Florist leaves more: ${lots(count)}`,
    nursery: (count: number) => `Nursery leaves more: ${lots(count)}`,
    disagree: (count: number) => `One by the pot, the other by the bench: ${lots(count)}`,
    same: (count: number) => `Both leave the same: ${lots(count)}`,
    unknown: (count: number) => `Not known until all prices are written: ${lots(count)}`,
  },
  /** A lot in a line. */
  brief: {
    lot: 'Lot',
    pot: 'By the pot',
    bench: 'By the bench, per m² and week',
    chance: 'Chance that florist leaves more per pot',
    florist: (more: string) => `florist +${more}`,
    nursery: (more: string) => `nursery +${more}`,
    same: 'the same',
    wait: (brings: string) => `waiting brings ${brings}`,
    waitLoses: (loses: string) => `waiting loses ${loses}`,
    ready: (florist: string, nursery: string) => `florist ${florist}, nursery ${nursery}`,
    partly: 'as far as written',
    planned: { florist: 'planned: florist', nursery: 'planned: nursery' },
  },
  line: 'Per pot',
  ready: 'Ready',
  readyOn: (on: string, count: number) => `${on} (${weeks(count)})`,
  now: 'now',
  lost: 'Losses until then',
  lostOwn: (share: string) => `${share}, by its losses so far`,
  lostStages: (share: string) => `${share}, by what you wrote of its stages`,
  lostCrop: (share: string) => `${share}, as expected for the crop`,
  within: (value: string, low: string, high: string) => `${value} (${low} to ${high})`,
  sales: 'Sales after losses',
  labour: 'Work',
  material: 'Materials',
  space: 'Bench',
  margin: 'Left per pot',
  bench: spelling('Left per square meter of bench and week', 'Left per square metre of bench and week'),
  noBench: 'no bench time ahead',
  unknown: 'not known yet',
  partly: (sum: string) => `${sum}, as far as written`,
  basis: {
    walk: (grades: string, seen: number, on: string) => `${pots(seen)} graded, walk of ${on}: ${grades}.`,
    earlier: (grades: string, count: number) =>
      `No pot of this lot graded yet. By ${lots(count)} that shipped before: ${grades}.`,
  },
  gradeSeen: (grade: string, seen: number, low: string, high: string) => `${grade} ${seen} (${low} to ${high})`,
  gradeShare: (grade: string, share: string) => `${grade} ${share}`,
  byPot: {
    florist: (more: string) => `By the pot: the florist route leaves ${more} more.`,
    nursery: (more: string) => `By the pot: the nursery route leaves ${more} more.`,
    same: 'By the pot: both leave the same.',
  },
  byBench: {
    florist: (more: string) =>
      spelling(
        `By the bench: the florist route leaves ${more} more per square meter and week.`,
        `By the bench: the florist route leaves ${more} more per square metre and week.`,
      ),
    nursery: (more: string) =>
      spelling(
        `By the bench: the nursery route leaves ${more} more per square meter and week.`,
        `By the bench: the nursery route leaves ${more} more per square metre and week.`,
      ),
    same: 'By the bench: both leave the same.',
    unknown: 'By the bench: not known while it is not written how close the pots stand.',
    none: 'By the bench: neither route takes up bench any longer.',
  },
  wait: (brings: string) =>
    spelling(
      `Waiting for the florist route brings ${brings} per square meter and week of the bench it takes up longer. It pays if nothing else would bring more there.`,
      `Waiting for the florist route brings ${brings} per square metre and week of the bench it takes up longer. It pays if nothing else would bring more there.`,
    ),
  disagree: 'The two answers disagree: one looks at the pot, the other at the room it takes.',
  priceMissing: (grade: string) => `Nobody wrote what a ${grade} pot sells for.`,
  priceNeeded: (grade: string, price: string) => `Both routes leave the same if a ${grade} pot sells for ${price}.`,
  priceNever: (grade: string) => `No price of a ${grade} pot makes the two equal: the other sums already decide.`,
  evenPrice: (grade: string, price: string, now: string) =>
    `Both leave the same if a ${grade} pot sells for ${price} (now ${now}).`,
  evenShare: (share: string, grade: string, now: string) =>
    `Both leave the same with ${share} of the pots in ${grade} (seen: ${now}).`,
  evenShareEarlier: (share: string, grade: string, now: string) =>
    `Both leave the same with ${share} of the pots in ${grade} (expected: ${now}).`,
  whatever: {
    florist: (grade: string) => `Whatever the share of ${grade}, the florist route leaves more.`,
    nursery: (grade: string) => `Whatever the share of ${grade}, the nursery route leaves more.`,
  },
  chance: (chance: string) => `Chance that the florist route leaves more per pot: ${chance}.`,
  notWritten: (what: string) => `Not in the sums, since nobody wrote it: ${what}.`,
  missing: {
    labour: (stage: string) => `work (${stage})`,
    material: (stage: string) => `materials (${stage})`,
    pots_m2: (stage: string) => `how close the pots stand (${stage})`,
    wage: 'what an hour of work costs',
    space: 'what the bench costs',
  },
  mayCost: (more: string) =>
    `What is not written may cost up to ${more} more per pot on the florist route before the nursery route leaves more.`,
  mayCostNursery: (more: string) =>
    `What is not written may cost up to ${more} more per pot on the nursery route before the florist route leaves more.`,
  cannotTitle: 'Not compared',
  cannot: {
    no_grades: 'No grades are set for the pot size. Enter them under Crops.',
    one_grade: 'Only one grade is set for the pot size: there is no lesser one to sell.',
    no_stages: 'The crop has no stages. Enter them under Crops.',
    start_unknown: 'Nobody wrote when it was stuck or potted, so nobody can say when it is ready.',
    too_far: 'Too far off to say when it is ready.',
    unknown: 'Too few of its pots graded, and fewer than four earlier lots like it have shipped. Walk it.',
    uncounted: 'A stretch of it is not counted. Count its pots first.',
    ledger: 'Fewer pots on record than were seen. Recount it.',
  },
  money: {
    title: 'Prices and costs',
    site: (wage: string, space: string) =>
      spelling(
        `An hour of work: ${wage}. A square meter of bench a week: ${space}.`,
        `An hour of work: ${wage}. A square metre of bench a week: ${space}.`,
      ),
    notSet: 'not written',
    siteChange: 'Change wage and bench',
    cropChange: (crop: string) => `Change prices and costs: ${crop}`,
    siteTitle: 'Wage and bench',
    cropTitle: (crop: string) => `Prices and costs: ${crop}`,
    noProfile: (crop: string) => `No grades are set for ${crop} yet. Enter them under Crops, then their prices here.`,
    currency: 'Currency',
    currencyNone: 'not chosen',
    wage: 'An hour of work',
    space: spelling('A square meter of bench a week', 'A square metre of bench a week'),
    price: (grade: string, pot: string) => `Price: ${grade}, ${pot}`,
    perPot:
      'What one pot takes in each stage, once. An empty field is not written, and is named beside the sums; write 0 where there is none.',
    labour: 'Work, seconds',
    material: 'Materials',
    density: spelling('Pots on a square meter', 'Pots on a square metre'),
    spoken: (stage: string, field: string) => `${stage}, ${field}`,
    save: 'Save',
    cancel: 'Cancel',
    saved: 'Prices and costs saved.',
  },
};
