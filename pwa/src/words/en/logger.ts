import { counter, form } from '../plural';

const values = counter('en', { one: 'temperature', other: 'temperatures' });
const lines = counter('en', { one: 'line', other: 'lines' });
const gaps = counter('en', { one: 'gap', other: 'gaps' });

export const logger = {
  title: 'Logger file',
  up: 'Cooler',
  intro:
    'Choose the text file (CSV or TXT) that the logger’s own program exports. You see what is in it before anything is saved.',
  choose: 'Choose a file',
  another: 'Choose another file',
  chosen: (name: string) => `File: ${name}`,
  house: 'House',
  chooseHouse: 'choose the house',
  spot: 'Where in the house it hangs',
  spotHint: 'For example “by the door”. Use the same words for the next file of this logger.',
  nothing: 'Nothing was saved.',
  ask: {
    time: 'There is more than one time in each line. Which one counts?',
    temp: 'More than one column may be the temperature. Which one is it?',
    unit: 'The file does not say the unit. The temperatures are in',
    order: (said: string) => `Read ${said} as`,
    dayFirst: 'day first',
    monthFirst: 'month first',
    clock: 'The logger’s clock shows',
    clocks: {
      nursery: 'our time, with daylight saving',
      standard: 'our standard time all year',
      utc: 'UTC',
    },
    clockNote:
      'Look in the logger’s program, or hold the time of a reading that you remember against the preview. With the wrong clock every reading is hours off.',
    sureF: 'Half of these are over 28 °C (82 °F). Are they really °C?',
    sureC: 'Half of these are under 20 °F (−7 °C). Are they really °F?',
    yes: (unit: string) => `Yes, ${unit}`,
    no: (unit: string) => `No, they are ${unit}`,
  },
  answer: 'Answer the questions above. Then you see what is in the file.',
  unitFound: (unit: string) => `The file says ${unit}.`,
  preview: {
    title: 'What is in the file',
    sum: (count: number, from: string, to: string, every: string) =>
      `${values(count)} from ${from} to ${to}, one every ${every}.`,
    minutes: (count: string) => `${count} min`,
    seconds: (count: string) => `${count} s`,
    heat: (low: string, high: string, mean: string) => `Lowest ${low}, highest ${high}, mean ${mean}.`,
    gaps: (count: number, hours: string, longest: string, from: string) =>
      `${gaps(count)}, ${hours} h in all; the longest is ${longest} h, from ${from}. Nothing is assumed for them.`,
    noGap: 'No gap.',
    empty: (count: number, first: number) =>
      `${lines(count)} without a usable temperature (the first is line ${first}): they are left out as gaps.`,
    twice: (count: number) =>
      `${lines(count)} ${form('en', count, { one: 'repeats', other: 'repeat' })} another one; each counts once.`,
    after: (count: number, line: number, said: string) =>
      count === 1
        ? `After the last reading comes line ${line}, “${said}”: it is left out.`
        : `After the last reading come ${lines(count)}, the first “${said}” (line ${line}): they are left out.`,
    time: 'Time',
    temp: 'Temperature',
    some: 'The first and the last of them',
  },
  save: (count: number) => `Save ${values(count)}`,
  saved: (count: number, house: string) => `${values(count)} saved for ${house}.`,
  already: (house: string, spot: string) =>
    `This file was read in before (${[house, spot].filter(Boolean).join(', ')}). Strike it out on the page Cooler if it was wrong; to read it in twice adds nothing.`,
  elsewhere:
    'Out of range nobody can tell whether this file was read in before. If it was, the same readings count once.',
  reading: 'Reading the file…',
  unreadable: 'The file cannot be opened. Close it in other programs, then choose it again.',
  problem: {
    no_values: () =>
      'No line has a day, a time and a temperature. Export the readings as text (CSV), not as a picture, PDF or the logger’s own format.',
    no_temps: (line: number, said: string) =>
      `The lines have times, the first in line ${line}: “${said}”. But no column holds temperatures. Export the file with the temperature of each reading.`,
    no_time_of_day: (line: number) =>
      `Line ${line} has a day without a time. Export the file with the time of each reading.`,
    columns: (line: number, cells: number, headings: number) =>
      `Line ${line} has ${cells} columns, the heading ${headings}. If the numbers have decimal commas, export with semicolons between columns.`,
    separators: (line: number, said: string) =>
      `Line ${line} has another separator than the lines before: “${said}”. Export the file again, all with one separator.`,
    no_time: (line: number, said: string) =>
      `Line ${line} has no time that can be read: “${said}”. Times look like 2027-03-14 01:30 or 3/14/2027 1:30 PM. Set this in the logger’s program and export again.`,
    too_large: (most: number) =>
      `The file is too large (over ${most} million characters). Export fewer weeks at a time.`,
    no_such_day: (line: number, said: string, isAsked: boolean) =>
      `Line ${line}: there is no such day as ${said}. ${isAsked ? 'If day and month are the other way round, say so above.' : 'Put this line right or take it out, then choose the file again.'}`,
    order_mixed: (line: number, said: string) =>
      `Line ${line} (${said}) has day and month the other way round than the lines before. The file was put together from two: read in each by itself.`,
    no_such_time: (line: number, said: string) =>
      `Line ${line}: at ${said} our clocks skip an hour, so this logger keeps another clock. Choose standard time or UTC above.`,
    future: (line: number, said: string, isAsked: boolean) =>
      `Line ${line} is in the future (${said}). ${isAsked ? 'Check day and month above. If they are right, the' : 'The'} logger’s clock runs ahead: set it, take the lines with wrong times out and choose the file again.`,
    long_ago: (line: number, said: string) =>
      `Line ${line} is from before the year 2000 (${said}): the logger’s clock was not set. Take these lines out, or set the clock and read the logger out again.`,
    few: () => 'Fewer than two temperatures can be read. Check that the right column is chosen, and the file’s export.',
    clash: (line: number, said: string, other: number) =>
      `Lines ${other} and ${line} have the same time (${said}) and different temperatures. If two loggers are in the file, read in each by itself; else choose another clock above.`,
  },
};
