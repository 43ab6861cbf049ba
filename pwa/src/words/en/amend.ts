import { counter } from '../plural';

const notes = counter('en', { one: 'note', other: 'notes' });
const pots = counter('en', { one: 'pot', other: 'pots' });

export const amend = {
  end: {
    title: 'End of the walk',
    saved: 'Everything is saved on this phone.',
    sentByItself: 'It is sent by itself when in range.',
    allSent: 'It is at the server.',
    found: 'What was found',
    held: (trait: string) => `What holds the bed back: ${trait}.`,
    again: 'Look at again',
    nothingAgain: 'Nothing to look at again.',
    slip: (where: string, value: string) => `${where}: ${value} is far from its lot`,
    slipLikely: (where: string, value: string, likely: string) => `${where}: ${value}; perhaps ${likely}`,
    edge: (seen: string, bed: string) => `At the aisle edge: ${seen} of the pots looked at, ${bed} of the bed.`,
    endNow: 'End the walk',
    more: 'Look at more pots',
    ended: (when: string) => `Ended ${when}.`,
    toToday: 'To Today',
    struck: (count: number) => `${pots(count)} struck out`,
    nothing: 'No pot was noted.',
    thin: 'Thin roots',
    meanHead: (lot: string, value: string, n: number) => `${lot}: heads ${value} on average (${n})`,
    meanBuds: (value: string, n: number) => `buds ${value} (${n})`,
  },
  open: {
    leftOpen: (day: string) =>
      `Begun on ${day} and never ended. The bed has changed since: end this walk, and begin a new one to look at more pots. Its pots stay as they were noted.`,
    pot: (pot: number) => `Pot ${pot} is still open`,
    correction: (pot: number) => `The correction of pot ${pot} is still open`,
    half: 'A pot is still open',
    asWords: (seen: string) =>
      `One pot was half noted: ${seen}. A pot noted now would be dated today, so this is kept as a comment on the bed.`,
    asWordsNote: (day: string, place: string, seen: string) => `Half noted in the walk of ${day}, ${place}: ${seen}`,
    notCounted: 'It counts nowhere yet. Save it or leave it out, then end the walk.',
    savePot: (pot: number) => `Save as pot ${pot}`,
    saveCorrection: 'Save the correction',
    keepWords: 'Keep as a comment',
    leaveOut: 'Leave it out',
    leftOut: 'Left out.',
    decideFirst: 'First say what becomes of the open pot: save it or leave it out.',
    savedFirst: 'The open pot was saved as far as it was noted.',
  },
  toPots: 'See and correct its pots',
  struckBy: (who: string, when: string, why: string) => `Struck out by ${who}, ${when}: ${why}`,
  struck: 'Note struck out.',
  restored: 'Put back: the note counts again.',
  together: (count: number) => `${notes(count)} were written by one Save. They are struck out together.`,
  opensBeds:
    'Its beds then count as open. Strike it out only if nothing was applied there. In doubt, keep everybody out and ask the supervisor.',
  wholeWalk: 'The whole walk is struck out with all its pots.',
  walkGoesOn: 'The walk is then open again.',
  /** Why the server takes no notes now, by its code. */
  because: {
    quarantine_full:
      'The server holds as many notes of this phone as it may, and takes no more until there is room. The rest stay here and are then sent by themselves. Ask the supervisor to decide on those that wait on the Phones page, or hand over the file below.',
    server_clock:
      'The server’s clock seems wrong, so it takes no notes for now. They stay here and are sent by themselves once it is right. Tell the supervisor.',
    data_gone:
      'The server’s data were moved, deleted or replaced, so it takes no notes until it is started again. They stay here. Tell the supervisor.',
    server_full:
      'The server’s disk is full. Notes stay here and are sent by themselves when there is room. Tell the supervisor.',
  },
};
