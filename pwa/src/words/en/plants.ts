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
