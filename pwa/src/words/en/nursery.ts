import { counter, written } from '../plural';

const beds = counter('en', { one: 'bed', other: 'beds' });
const houses = counter('en', { one: 'house', other: 'houses' });
const people = counter('en', { one: 'person', other: 'people' });

export const nursery = {
  parts: 'Set up',
  part: { beds: 'Houses and beds', people: 'People', in: 'Bring in', out: 'Take out', programs: 'Other programs' },
  name: 'The nursery',
  yourName: 'Your name',
  yourNameMissing: 'Your name is empty. Enter what the crew calls you, up to 80 characters.',

  first: {
    title: 'First steps',
    done: 'Done.',
    step: {
      name: 'Name the nursery',
      beds: 'Add houses and beds',
      lots: 'Add lots',
      people: 'Add people and pair a phone',
      walk: 'Walk a bed',
    },
    about: {
      name: 'Its name, its time zone and your name.',
      beds: 'Many at once: how many beds, how many rows, how many pots across.',
      lots: 'From a spreadsheet, or one by one. A bed is walked once a lot stands on it.',
      people: 'Everyone who walks or decides, then a code for each phone.',
      walk: 'On a phone: choose a bed and start the walk. This computer can do it too.',
    },
  },

  beds: {
    title: 'Add many beds',
    intro:
      'Beds of one size, numbered on from the first. A bed’s length runs from its entry end; its rows lie across. For beds of many sizes, bring in a spreadsheet.',
    field: {
      houses: 'House, or several with commas between them',
      first: 'Name of the first bed',
      count: 'Beds in each house',
      length: 'Length of a bed',
      width: 'Width of a bed',
      rows: 'Rows along a bed',
      across: 'Pots across',
      entry: 'Entry end is called (optional)',
      far: 'Far end is called (optional)',
    },
    fill: 'Fill in all fields but the last two to see what will be added.',
    many: (most: number) => `Enter a whole number from 1 to ${most}.`,
    newHouse: '(new house)',
    inHouse: '(existing house)',
    names: (first: string, second: string, last: string, n: number) => `${first}, ${second} … ${last} (${beds(n)})`,
    each: (rows: string, across: string, places: string, along: string, wide: string) =>
      `Each bed: ${rows} rows of ${across}, ${places} places, one every ${along} along the bed and every ${wide} across.`,
    already: (n: number) =>
      n === 1
        ? 'One of these beds already exists and stays as it is.'
        : `${written('en', n)} of these beds already exist and stay as they are.`,
    add: (n: number) => `Add ${beds(n)}`,
    done: (h: number, b: number) => (h === 0 ? `Added ${beds(b)}.` : `Added ${houses(h)} with ${beds(b)}.`),
    source: 'Many beds',
  },

  houses: {
    title: 'Houses and beds',
    beds,
    bedsOf: (house: string) => `Beds of ${house}`,
    rename: 'Change the house',
    name: 'Name',
    note: 'Comment',
    saved: 'House saved.',
    bed: 'Bed',
    rows: 'Rows',
    across: 'Across',
    length: 'Length',
    width: 'Width',
    lots: 'Lots on it',
    change: 'Change',
    changeBed: (bed: string) => `Change ${bed}`,
    retire: 'Retire',
    retireName: (name: string) => `Retire ${name}`,
    retired: 'Retired',
    use: 'Use again',
    useAgain: (name: string) => `Use ${name} again`,
    gone: (name: string) => `${name} is retired. Its past stays.`,
    back: (name: string) => `${name} is in use again.`,
  },

  people: {
    add: 'Add people',
    names: 'Names, one a line',
    role: 'They are',
    roleNote:
      'What a phone may do is set by its pairing code. An owner makes the code for another owner, under Phones.',
    planned: (names: string) => `New: ${names}.`,
    there: (names: string) => `Already here: ${names}.`,
    tooLong: (names: string) => `Shorten to 80 characters: ${names}.`,
    put: (n: number) => (n === 0 ? 'Add' : `Add ${people(n)}`),
    added: (n: number) => `Added ${people(n)}.`,
    here: 'Who works here',
    you: 'you',
    name: 'Name',
    rename: 'Rename',
    renameOf: (name: string) => `Rename ${name}`,
    save: 'Save',
    saved: 'Name saved.',
    left: 'No longer works here',
    leftOf: (name: string) => `${name} no longer works here`,
    back: 'Works here again',
    backOf: (name: string) => `${name} works here again`,
    hasLeft: (name: string) =>
      `${name} is off the lists. If a phone is paired to them, it still has access: revoke it on the Phones page.`,
    isBack: (name: string) => `${name} is on the lists again.`,
    gone: 'No longer work here',
    goneNote: 'Their notes stay under their names.',
    toPhones: 'Pair a phone',
  },
  workingDays: {
    title: 'Working days',
    intro:
      'Steps that need people are planned for working days. Where the plan moved a day to a working day, it says why.',
    work: (days: string) => `People work on ${days}.`,
    everyDay: 'No days off are set, so the plan counts every day as a working day.',
    ship: (weekday: string) => `Pots of a ship week must be ready by its ${weekday}.`,
    shipUnsaid: (weekday: string) => `Pots of a ship week must be ready by its ${weekday}: nobody has set another day.`,
    none: 'No holidays are set.',
    holiday: (on: string, name: string) => `${on}: ${name}`,
    change: 'Change working days',
    worked: 'People work on',
    noDay: 'Choose at least one weekday on which people work.',
    shipDay: 'Day of the ship week by which pots must be ready',
    shipNone: (weekday: string) => `${weekday}, until another is set`,
    holidays: 'Holidays',
    on: 'Day of the holiday',
    name: 'Name of the holiday',
    add: 'Add the holiday',
    addFirst: 'A holiday is typed and not added yet. Add it, or clear its fields.',
    twice: 'That day is in the list already. Choose another day, or remove the one in the list.',
    remove: (name: string) => `Remove ${name}`,
    save: 'Save working days',
    saved: 'Working days saved. The plan is made again with them.',
    cancel: 'Cancel',
  },
};
