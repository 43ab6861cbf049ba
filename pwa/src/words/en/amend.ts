import { counter, stop } from '../plural';

const notes = counter('en', { one: 'note', other: 'notes' });
const pots = counter('en', { one: 'pot', other: 'pots' });

export const amend = {
  earlier: {
    title: 'Earlier lots on this bed',
    shipped: (count: number, day: string) => `${pots(count)} shipped, ${day}`,
    moved: (bed: string) => `Moved to ${bed}`,
    evenness: (value: string, when: string) => `Last walk: uniformity ${value}, ${when}`,
    asOf: (when: string) => stop(`As of ${when}`),
    away: (count: number) =>
      `${notes(count)} of this lot ${count === 1 ? 'is' : 'are'} at the server, not on this phone.`,
    fetch: 'Get its notes',
    coming: 'They come when this phone is in range.',
    pin: 'Keep on this phone',
    pinned: 'Kept on this phone.',
    unpin: 'Stop keeping it',
    noPots: 'No pots of earlier walks of this bed are on this phone.',
  },
  bed: {
    lots: 'Lots on this bed',
    noLots: 'No lots recorded on this bed.',
    potSize: (size: string) => `${size} pot`,
    lastWalk: 'Last walk',
    neverWalked: 'This bed has not been walked yet.',
    fewPots: (seen: number) => `Only ${pots(seen)} checked: too few for a number.`,
    uniformityOf: (value: string, low: string, high: string) => `Uniformity ${value} (${low} to ${high})`,
    limitingTrait: (trait: string) => `held back by ${trait}`,
    inPart:
      'This phone’s storage was damaged, so pots of this walk may be missing. The numbers are shown once the server has sent these pots again.',
    seenBy: (seen: number, when: string) => `${pots(seen)} checked, ${when}`,
    chlorosis: 'Chlorosis',
    rot: 'Root rot',
    start: 'Start walk',
    startLater:
      'You can start a walk once all records are here. Until then this phone does not know which lots stand on this bed.',
    startWithLot: 'To start a walk, first note which lot is here: tap “Add a note”.',
    goOn: 'Continue the walk',
    planned: (count: number) => `About ${pots(count)} to check.`,
    closedUntil: (when: string) => `Closed: restricted-entry interval (REI). ${stop(`Opens ${when}`)} Do not go in.`,
    onTheSpot: 'Add a note',
  },
  roundExplain: (bed: string, count: number) =>
    `${bed}: check the same ${pots(count)} again. The first values stay hidden.`,
  roundStart: 'Start second look',
  walkMenu: {
    menu: {
      title: 'More',
      other: 'Another pot',
      skip: 'Skip this pot',
      photo: 'Photo',
      spot: 'Add a note',
      words: 'Disease, height, comment',
      earlier: 'Earlier pots',
      saveNow: 'Save the pot as is',
      steps: '+ − keys',
      keypad: '1 2 3 keys',
      pause: 'Pause',
      end: 'End the walk',
      help: 'Help',
    },
    skipTitle: 'Why skip it?',
    otherTitle: 'Which pot did you take?',
    otherHow: (row: number) =>
      `It is added to the walk. The planned pot, row ${row}, comes after it. If that one is gone, skip it first.`,
    otherFirst: (row: number) => `Row ${row} comes after it.`,
    otherAdded: (row: number) => `One pot added. Row ${row} comes after it.`,
    row: 'Row',
    take: 'Take this pot',
    earlierTitle: 'Pots of this walk',
    noEarlier: 'No pots noted yet.',
    wordsTitle: 'More about this pot',
  },
  houses: {
    title: 'Other houses',
    explain: 'This phone keeps the notes of your own houses. The notes of the others stay at the server.',
    notKept: (beds: string, _count: number) => `${beds}, not kept on this phone`,
    still: (beds: string) => `${beds}; the notes are still on this phone`,
    open: 'Open this house',
    close: 'Close this house',
    outOfRange: 'Out of range. To open it, go where there is a signal.',
    coming: (lots: string) => `Opening. Still to come: ${lots}.`,
    toCome: (lots: string) => `Still to come: ${lots}.`,
    goThere: 'Go where there is a signal.',
    isOpen: 'Open on this phone',
    bed: (house: string) =>
      `Earlier walks of this bed are not kept on this phone, because ${house} is not one of your houses.`,
    lot: (house: string) =>
      `Not all notes of this lot are kept on this phone, because ${house} is not one of your houses.`,
    shipped:
      'The last walk of this bed also saw lots that have been shipped or moved. Their notes are at the server: get them under “Earlier lots on this bed”.',
    notYet: 'Some of the notes are not here yet.',
    barred: 'Nothing new comes to this phone until it is paired again.',
    noRoom: 'Nothing new comes to this phone, because it is full. Delete videos or apps that nobody needs.',
  },
  end: {
    title: 'End of the walk',
    saved: 'Everything is saved on this phone.',
    sentByItself: 'It will be sent when you’re in range.',
    allSent: 'All notes sent.',
    found: 'What was found',
    limitingTrait: (trait: string) => `Held back by ${trait}.`,
    again: 'Check again',
    nothingAgain: 'Nothing to check again.',
    slip: (where: string, value: string) => `${where}: ${value} is far from the rest of its lot`,
    slipLikely: (where: string, value: string, likely: string) => `${where}: ${value}; did you mean ${likely}?`,
    edge: (seen: string, bed: string) =>
      `${seen} of the pots checked are at an aisle, against ${bed} of the whole bed.`,
    endNow: 'End the walk',
    isFinished: 'This phone can’t tell whether the walk was finished. Was it?',
    finished: 'Finished: end the walk',
    stopped: 'Stopped early: end the walk',
    more: 'Check more pots',
    ended: (when: string) => stop(`Ended ${when}`),
    toToday: 'Back to Today',
    voided: (count: number) => `${pots(count)} struck out`,
    nothing: 'No pots noted.',
    thin: 'Thin roots',
    meanHead: (lot: string, value: string, n: number) => `${lot}: heads ${value} on average (${n})`,
    meanBuds: (value: string, n: number) => `buds ${value} (${n})`,
  },
  open: {
    leftOpen: (day: string) =>
      `Started ${day} and never ended. The bed has changed since, so this walk is too old to continue. End it, and start a new one to check more pots. Its pots stay as noted.`,
    pot: (pot: number) => `Pot ${pot} is still open`,
    correction: (pot: number) => `The correction of pot ${pot} is still open`,
    half: 'A pot is still open',
    asWords: (seen: string) =>
      `One pot is half filled in: ${seen}. A pot saved now would get today’s date, so this is kept as a comment on the bed.`,
    asWordsNote: (day: string, place: string, seen: string) =>
      `Half filled in on the walk of ${day}, ${place}: ${seen}`,
    noDegree: 'It does not say how pale the leaves are, so it cannot be graded. Go back to the walk to answer that.',
    notCounted: 'It does not count yet. Save or discard it, then end the walk.',
    savePot: (pot: number) => `Save as pot ${pot}`,
    saveCorrection: 'Save the correction',
    keepWords: 'Keep as a comment',
    leaveOut: 'Discard',
    leftOut: 'Discarded.',
    decideFirst: 'Save or discard the open pot first.',
    savedFirst: 'The open pot was saved as far as it was filled in.',
  },
  toPots: 'See and correct its pots',
  voidedBy: (who: string, when: string, why: string) => `Struck out by ${who}, ${when}: ${why}`,
  voided: 'Note struck out.',
  restored: 'Restored. The note counts again.',
  together: (count: number) => `${notes(count)} were saved together, so they are struck out together.`,
  opensBeds:
    'Its beds will count as open. Strike it out only if nothing was applied there. If in doubt, keep everyone out and ask the supervisor.',
  wholeWalk: 'This strikes out the whole walk with all its pots.',
  walkGoesOn: 'This opens the walk again.',
  /** Why the server takes no notes now, by its code. */
  because: {
    quarantine_full:
      'Too many notes from this phone are held for the supervisor, so the server takes no more for now. The rest stay here and will be sent when there is room. Ask the supervisor to decide on the held notes on the Phones page, or hand over the file below.',
    server_clock:
      'The server’s clock seems wrong, so it takes no notes for now. They stay here and will be sent once it is right. Tell the supervisor.',
    data_gone:
      'The server’s data was moved, deleted or replaced, so it takes no notes until it is restarted. They stay here. Tell the supervisor.',
    server_full: 'The server’s disk is full. Notes stay here and will be sent when there is room. Tell the supervisor.',
  },
};
