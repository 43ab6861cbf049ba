import { counter } from '../plural';

const houses = counter('en', { one: 'house', other: 'houses' });
const beds = counter('en', { one: 'bed', other: 'beds' });
const lots = counter('en', { one: 'lot', other: 'lots' });
const rows = counter('en', { one: 'row', other: 'rows' });

export const sheet = {
  title: 'Put in beds and lots',
  open: 'Put in beds and lots',
  from: 'From a spreadsheet',
  intro:
    'One that you have, or one that you make now. One row for each lot on a bed; a bed without a lot has a row of its own. The first row names the columns, in any order.',
  needed:
    'A new bed needs its house, name, length, width, rows along it and pots across. A lot needs its tag, crop, cultivar, pot size and number of pots; without first and last row it stands on the whole bed. All else may be left out: what nobody knows is better left out than guessed.',
  again: 'Beds that are known already stay as they are, and a lot that is known is not put in twice.',
  template: 'Download an empty sheet',
  templateName: 'beds and lots.csv',
  file: 'Choose a CSV file',
  paste: 'Or copy the cells, headings too, and paste them here',
  clear: 'Start over',
  example: { house: 'Heron', bed: 'H1', entry: 'door', far: 'fan', crop: 'florist’s azalea' },

  preview: 'What each row adds',
  row: 'Row',
  rowOf: (row: number, place: string) => (place === '' ? `Row ${row}:` : `Row ${row}, ${place}:`),
  adds: 'Adds',
  add: { house: 'the house', bed: 'the bed', lot: 'the lot', stretch: 'its place on the bed' },
  addsNothing: 'nothing new',
  sum: (h: number, b: number, l: number, pots: string) =>
    `${houses(h)}, ${beds(b)}, ${lots(l)} with ${pots} pots are new.`,
  sumNone: 'Nothing in the sheet is new.',
  wrong: (n: number) =>
    n === 1
      ? 'One row cannot be taken as it is. Put it right here or in the spreadsheet; the others can go in now.'
      : `${rows(n)} cannot be taken as they are. Put them right here or in the spreadsheet; the others can go in now.`,
  lacking: (headings: string) => `No column is headed: ${headings}. Is the first row the one with the headings?`,
  others: (headings: string) => `Columns that are left out because nobody here knows them: ${headings}.`,
  twice: (headings: string) => `Columns that are there twice; the first one counts: ${headings}.`,
  noRows: 'There is no row below the headings.',
  put: 'Put them in',
  done: (b: number, l: number) => `Put in: ${beds(b)}, ${lots(l)}.`,
  failed: 'Not put in: this device could not save them. Free some space and try again; the sheet is still here.',

  nursery: 'The nursery’s name',
  nurserySave: 'Save the name',
  nurserySaved: 'Saved.',
  nurseryMissing: 'The name is empty. Type how the crew calls the nursery, in 80 characters at most.',

  heading: {
    house: 'house',
    bed: 'bed',
    length: 'length',
    width: 'width',
    rows: 'rows',
    across: 'pots across',
    entry: 'entry end',
    far: 'far end',
    lot: 'lot',
    crop: 'crop',
    cultivar: 'cultivar',
    pot: 'pot size',
    pots: 'pots',
    from: 'first row',
    to: 'last row',
    struck: 'stuck',
    potted: 'potted',
    ship: 'ship week',
  },
  problem: {
    noLength: (name: string, typed: string) =>
      `${name}: “${typed}” is no length. Give digits alone, and the unit in the heading.`,
    noDay: (name: string, typed: string) =>
      `${name}: “${typed}” is no day that can only be read one way. Write it as 2026-03-14.`,
    noWeek: (name: string, typed: string) => `${name}: “${typed}” is no week. Write year and week as 2027-W04.`,
    lotThere: (tag: string) => `Lot ${tag} is known already. Give another tag, or note a move on the phone.`,
    otherLot: (tag: string, said: string, row: number, first: number) =>
      `Lot ${tag}: row ${row} has ${said}, but row ${first} says otherwise or leaves it out. Give one of them another tag, or write the same in both.`,
    before: 'Potted before it was stuck. Check both days.',
    past: (to: number, last: number) => `Last row ${to} lies past the bed’s end. The bed has ${rows(last)}.`,
    turned: (from: number, to: number) => `The last row ${to} comes before the first row ${from}.`,
    taken: (from: number, to: number, lot: string) =>
      `Rows ${from} to ${to} are lot ${lot}’s. Give the first and last row of each.`,
    crowded: (pots: number, places: number) =>
      `${pots} pots do not fit: those rows have ${places} places. Check pots, rows and pots across.`,
  },
};
