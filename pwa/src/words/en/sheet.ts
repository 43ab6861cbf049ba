import { counter, some, written } from '../plural';

const houses = counter('en', { one: 'house', other: 'houses' });
const beds = counter('en', { one: 'bed', other: 'beds' });
const lots = counter('en', { one: 'lot', other: 'lots' });
const rows = counter('en', { one: 'row', other: 'rows' });

export const sheet = {
  title: 'Bring in beds and lots',
  open: 'Bring in beds and lots',
  from: 'From a spreadsheet',
  intro:
    'Use a sheet that you have, or make one now. One row for each lot on a bed; a bed without a lot gets its own row. The first row names the columns, in any order.',
  needed:
    'A new bed needs its house, name, length, width, rows along it and pots across. A lot needs its tag, crop, cultivar, pot size and number of pots; without a first and last row it fills the whole bed. Everything else is optional. If nobody knows a value, leave it empty rather than guess. A bed’s near side is on the right as you walk in from the entry end; places across are counted from it.',
  again: 'Existing beds stay as they are, and existing lots are not added twice.',
  template: 'Download an empty sheet',
  templateName: 'beds and lots.csv',
  file: 'Choose a CSV or XLSX file',
  reading: 'Reading the file…',
  pasted: 'Pasted sheet',
  whichSheet: 'Sheet of the workbook',
  chooseSheet: 'choose',
  fileProblem: {
    large: (most: string) =>
      `The file is too large: at most ${most}, and 100 MB unpacked. Save only the sheet that you need, without pictures and empty rows, and choose that file.`,
    old: () =>
      'This is an old .xls file, or it has a password. Open it in the spreadsheet program and save it as .xlsx without a password.',
    other: () =>
      'This is not a table that Bedwalk reads. Open it in the program it comes from and save it as .xlsx or CSV.',
    damaged: () =>
      'The workbook cannot be read. Open it in the spreadsheet program, save it again as .xlsx or as CSV, and choose the new file.',
    slow: () =>
      'Reading took longer than 30 seconds and was stopped. Save only the sheet that you need as CSV, and choose that file.',
    empty: () => 'There is nothing in the file. Choose the file in which the rows are.',
    gone: () => 'The file cannot be read. Was it moved or deleted? Choose it again.',
  },
  match: 'What these columns are',
  columnIs: (at: number, written: string) =>
    written === '' ? `Column ${at}, without a heading` : `Column ${at}, “${written}”`,
  leftOut: 'leave out',
  order: 'Dates such as 3/4/2026: which number is the day?',
  dayFirst: 'the first (day/month)',
  monthFirst: 'the second (month/day)',
  bothOrders:
    'Some dates can only be day/month and others only month/day, so none of them is read. In the spreadsheet, write all of them as 2026-03-14.',
  mixed: (row: number) =>
    `Row ${row} is separated by other marks than the headings, so its cells cannot be told apart. Save the sheet again from the spreadsheet program, with one separator for all rows.`,
  tooMany: (most: string) =>
    `The sheet has more than ${most} rows, the most that are read at once. Delete empty rows, or divide it into several sheets.`,
  leaveOut: (n: number) => (n === 1 ? 'Leave this row out' : `Leave these ${written('en', n)} rows out`),
  more: (n: number) => `Not listed here: ${rows(n)} more.`,
  imports: 'Brought in before',
  importsNote: 'Undo strikes out everything that one sheet added, as long as nothing was noted about it since.',
  undoImport: 'Undo this import',
  undone: 'Struck out everything that it added.',
  undoSince: (n: number) =>
    `Not undone: ${counter('en', { one: 'note was', other: 'notes were' })(n)} made since about what it added, and would lose what they are about. Correct or retire single lots and beds instead.`,
  undoPart: 'Not undone: not all notes are on this device yet. Wait until the records have arrived, then try again.',
  paste: 'Or copy the cells with their headings and paste them here',
  oneLot: 'Or add one lot',
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
    `New: ${some([houses, h], [beds, b])}${l === 0 ? '' : `${h + b > 0 ? ', ' : ''}${lots(l)} with ${pots} pots`}.`,
  sumNone: 'Nothing in the sheet is new.',
  wrong: (n: number) =>
    n === 1
      ? 'One row has a mistake. Correct it above or in the spreadsheet, or leave it out.'
      : `${rows(n)} have mistakes. Correct them above or in the spreadsheet, or leave them out.`,
  lacking: (headings: string) => `Missing columns: ${headings}. Does the first row hold the headings?`,
  lackingSome: (headings: string) =>
    `Missing columns: ${headings}. Add what is missing to the sheet, or choose above which columns they are.`,
  twice: (headings: string) =>
    `Headings that appear twice: ${headings}. The first column of each is read; choose below if another is meant.`,
  noRows: 'There are no rows below the headings.',
  put: 'Add them',
  done: (b: number, l: number) => `Added ${some([beds, b], [lots, l])}.`,

  nursery: 'The nursery’s name',
  zone: 'Time zone',
  zoneNone: 'not set',
  zoneNote: 'Days between walks are counted from midnight in the nursery’s time zone, here and on every phone.',
  nurserySave: 'Save name and time zone',
  nurserySaved: 'Saved.',
  nurseryMissing: 'The name is empty. Enter what the crew calls the nursery, up to 80 characters.',

  heading: {
    buyer: 'buyer',
    grade: 'grade',
    price: 'price of a pot',
    order: 'order number',
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
    formula: (name: string, typed: string) =>
      `${name}: “${typed}” is a formula without a result. Put its value into the cell, or save the sheet with values.`,
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
