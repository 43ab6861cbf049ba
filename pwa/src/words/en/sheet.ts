import { counter } from '../plural';

const houses = counter('en', { one: 'house', other: 'houses' });
const beds = counter('en', { one: 'bed', other: 'beds' });
const lots = counter('en', { one: 'lot', other: 'lots' });
const rows = counter('en', { one: 'row', other: 'rows' });

export const sheet = {
  title: 'Add beds and lots',
  open: 'Add beds and lots',
  from: 'From a spreadsheet',
  intro:
    'Use a sheet that you have, or make one now. One row for each lot on a bed; a bed without a lot gets its own row. The first row names the columns, in any order.',
  needed:
    'A new bed needs its house, name, length, width, rows along it and pots across. A lot needs its tag, crop, cultivar, pot size and number of pots; without a first and last row it fills the whole bed. Everything else is optional. If nobody knows a value, leave it empty rather than guess. A bed’s near side is on the right as you walk in from the entry end; places across are counted from it.',
  again: 'Existing beds stay as they are, and existing lots are not added twice.',
  template: 'Download an empty sheet',
  templateName: 'beds and lots.csv',
  file: 'Choose a CSV file',
  paste: 'Or copy the cells with their headings and paste them here',
  clear: 'Start over',
  example: {
    house: 'Heron',
    bed: 'H1',
    entry: 'door',
    far: 'fan',
    near: 'path side',
    beyond: 'wall side',
    crop: 'florist’s azalea',
  },

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
      ? 'One row has a mistake. Correct it here or in the spreadsheet; you can add the others now.'
      : `${rows(n)} have mistakes. Correct them here or in the spreadsheet; you can add the others now.`,
  lacking: (headings: string) => `Missing columns: ${headings}. Does the first row hold the headings?`,
  others: (headings: string) => `Columns ignored because Bedwalk does not know them: ${headings}.`,
  twice: (headings: string) => `Columns that appear twice (the first one counts): ${headings}.`,
  noRows: 'There are no rows below the headings.',
  put: 'Add them',
  done: (b: number, l: number) => `Added ${beds(b)} and ${lots(l)}.`,
  failed: 'Not added: this device could not save them. Free some space and try again; the sheet is still here.',

  nursery: 'The nursery’s name',
  zone: 'Time zone',
  zoneNone: 'not set',
  zoneNote: 'Days between walks are counted from midnight in the nursery’s time zone, here and on every phone.',
  nurserySave: 'Save name and time zone',
  nurserySaved: 'Saved.',
  nurseryMissing: 'The name is empty. Enter what the crew calls the nursery, up to 80 characters.',

  heading: {
    house: 'house',
    bed: 'bed',
    length: 'length',
    width: 'width',
    rows: 'rows',
    across: 'pots across',
    entry: 'entry end',
    far: 'far end',
    near: 'near side',
    beyond: 'far side',
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
      `${name}: “${typed}” is not a length. Enter only digits, and put the unit in the heading.`,
    noDay: (name: string, typed: string) =>
      `${name}: “${typed}” can be read as more than one date, or as none. Write it as 2026-03-14.`,
    noWeek: (name: string, typed: string) => `${name}: “${typed}” is not a week. Write year and week as 2027-W04.`,
    lotThere: (tag: string) => `Lot ${tag} already exists. Enter another tag, or note a move on the phone.`,
    otherLot: (tag: string, said: string, row: number, first: number, kept: string) =>
      `Lot ${tag}: row ${row} has ${said}, but row ${first} ${kept === '' ? 'leaves it empty' : `has ${kept}`}. Give one of them another tag, or enter the same in both.`,
    before: 'Potted before it was stuck. Check both days.',
    past: (to: number, last: number) => `Last row ${to} is past the end of the bed, which has ${rows(last)}.`,
    turned: (from: number, to: number) => `Last row ${to} comes before first row ${from}.`,
    taken: (from: number, to: number, lot: string) =>
      `Rows ${from} to ${to} belong to lot ${lot}. Enter the first and last row of each.`,
    crowded: (pots: number, places: number) =>
      `${pots} pots do not fit: those rows have ${places} places. Check pots, rows and pots across.`,
  },
};
