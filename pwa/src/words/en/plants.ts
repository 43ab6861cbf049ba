import { counter, written } from '../plural';

const count = counter('en', { one: 'cutting', other: 'cuttings' });

/** Cuttings taken from stock plants. */
export const cuttings = {
  intro:
    'The cuttings become a new lot, recorded as coming from these plants. The plants themselves stay on record where they are.',
  taken: 'Cuttings taken',
  thrown: 'Of these thrown out, not stuck',
  stuck: 'Cuttings stuck',
  allThrown: (taken: number) =>
    `Thrown out: all ${written('en', taken)} that were taken. Enter fewer: a new lot needs a cutting.`,
  makes: (n: number) => `${count(n)} stuck as the new lot.`,
  size: 'Pot or tray cell (if known)',
  on: 'Day stuck',
  saved: (n: number, tag: string) => `${count(n)} stuck as lot ${tag}.`,
};

/** The water of a mist timer. */
export const mist = {
  intro: 'What a timer’s schedule puts on in a day. It is only math, from what you enter; nothing is noted.',
  on: 'Mist is on for',
  every: 'Once every',
  from: 'First time of day',
  to: 'Last time of day',
  nozzles: 'Nozzles that run together',
  flow: (unit: string) => `Flow of one nozzle, ${unit} an hour`,
  fill: 'Fill in the fields above.',
  above: 'Enter numbers above 0.',
  order: 'Last time: not after the first. Enter a later time; a schedule over midnight is two schedules.',
  always:
    'The mist would be on without a break: it comes again before it is over. Enter fewer seconds, or more minutes.',
  water: (water: string) => `${water} a day.`,
  cycles: (cycles: string, minutes: string) => `${cycles} times on, ${minutes} minutes in all.`,
};

/** The light of a day under a roof and a shade cloth. */
export const shade = {
  intro: 'How much of a day’s light reaches the plants. It is only math, from what you enter; nothing is noted.',
  outdoors: 'Light outdoors in a day',
  outdoorsHint: 'From a weather station, or from a light map for your place and month.',
  cover: 'Light that the roof lets through',
  coverHint: 'On a clear noon: the meter inside, without the cloth, against the meter outside.',
  cloth: 'Shade of the cloth',
  clothHint: 'As the cloth is sold: 55 % shade lets 45 % through. No cloth: 0.',
  aDay: 'mol/m² a day',
  fill: 'Fill in the fields above.',
  outdoorsOver: 'Light outdoors: above 0, at most 80 mol/m² a day. Check the number and its unit.',
  share: 'The roof: above 0, at most 100 %.',
  clothShare: 'The cloth: from 0 to under 100 %.',
  inside: (light: string) => `${light} a day at the plants.`,
  noCloth: (light: string) => `Without the cloth ${light}. Lamps come on top.`,
};
