/** What a scout reads when the phone's storage has failed. */
import { counter } from '../plural';

const notes = counter('en', { one: 'note', other: 'notes' });

export const broken = {
  title: 'The notes on this phone cannot be opened',
  explain: 'The phone’s storage failed. A restart often fixes it.',
  olderTitle: 'This version of Bedwalk is too old to open the notes',
  older: 'A newer version saved the notes on this phone. This one does not change them.',
  safe: 'What is safe',
  sent: 'Every note that was sent is on the server.',
  waited: (count: number, when: string) =>
    `Not sent at the last count (${when}): ${notes(count)}. They may still be on this phone.`,
  allSent: (when: string) =>
    `At the last count (${when}) all notes had been sent. Anything noted since may still be on this phone.`,
  neverCounted: 'Unsent notes may still be on this phone.',
  todo: 'What to do',
  never: 'Do not clear the browser’s data or remove Bedwalk from the phone: unsent notes would be lost.',
  steps: [
    'Close Bedwalk everywhere on this phone, then open it again.',
    'If the phone is full, free some space: delete videos or apps that nobody needs.',
    'Restart the phone and open Bedwalk again.',
    'If that does not help, save what can still be read to a file, below.',
  ],
  stepsOlder: [
    'Come into range and try again: the newer version downloads by itself.',
    'Close Bedwalk everywhere on this phone and open it again.',
    'If that does not help, save what can still be read to a file, below.',
  ],
  toFile: 'Save unsent notes to a file',
  supervisor:
    'Show this screen to the supervisor and hand over the file. To keep walking meanwhile, pair another phone, or another browser on this one, with a new code.',
  inFile: (count: number) => `${notes(count)} could be read and ${count === 1 ? 'is' : 'are'} in the file.`,
  nothingRead: 'No unsent note can be read now. Try again after restarting the phone.',
  unread: (count: number) => `${notes(count)} could not be read now.`,
};
