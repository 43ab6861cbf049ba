/** What a scout reads when the phone's storage has failed. */
import { counter } from '../plural';

const notes = counter('en', { one: 'note', other: 'notes' });

export const broken = {
  title: 'The notes on this phone cannot be opened',
  explain: 'The phone’s storage failed. This is often over after a restart.',
  olderTitle: 'This Bedwalk is too old for its notes',
  older: 'The notes on this phone were kept by a newer Bedwalk. This one leaves them as they are.',
  safe: 'What is safe',
  sent: 'Every note that was sent is at the server.',
  waited: (count: number, when: string) =>
    `Not sent at the last count (${when}): ${notes(count)}. What was not sent may still be on this phone.`,
  allSent: (when: string) =>
    `At the last count (${when}) all notes were at the server. What was noted since may still be on this phone.`,
  neverCounted: 'Notes that were not sent may still be on this phone.',
  todo: 'What to do',
  never:
    'Do not clear the browser’s data and do not remove Bedwalk from the phone: notes that were not sent would be gone.',
  steps: [
    'Close Bedwalk everywhere on this phone, open it again and try again.',
    'If the phone is full, free some space: delete films or apps that nobody needs.',
    'Restart the phone and open Bedwalk again.',
    'If that does not help, save what can still be read to a file, below.',
  ],
  stepsOlder: [
    'Come into range and try again: the newer Bedwalk is fetched by itself.',
    'Close Bedwalk everywhere on this phone and open it again.',
    'If that does not help, save what can still be read to a file, below.',
  ],
  toFile: 'Save unsent notes to a file',
  supervisor:
    'Show this screen to the supervisor and hand over the file. To go on walking meanwhile, have another phone, or another browser on this one, paired with a new code.',
  inFile: (count: number) => `${notes(count)} could be read and ${count === 1 ? 'is' : 'are'} in the file.`,
  nothingRead: 'No unsent note can be read now. It may be otherwise after a restart of the phone.',
  unread: (count: number) => `${notes(count)} could not be read now.`,
};
