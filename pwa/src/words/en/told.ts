/** What the server tells a phone in the field: what the last walk of a bed says, and how the scout reads. */
import { counter } from '../plural';

const walks = counter('en', { one: 'walk', other: 'walks' });
const lots = counter('en', { one: 'lot', other: 'lots' });

export const told = {
  says: 'What the last finished walk says',
  walking: (seen: number, planned: number, who: string, when: string) =>
    `Walking: ${planned > 0 ? `${seen} of about ${planned}` : seen} (${who}, ${when})`,
  walkingShort: (seen: number, planned: number) => `walking, ${planned > 0 ? `${seen} of about ${planned}` : seen}`,
  seenAt: (said: string, when: string) => `${said} Seen ${when}; no walk since has seen enough to clear it.`,
  part: 'No walk of this bed has been finished: too little was seen for a number.',
  none: 'Nothing out of the ordinary.',
  notMeasured: 'No head was measured and no buds were counted.',
  notYet: 'The server reckons this. It comes by itself in range.',
  older: (when: string) => `Of the walk ${when}. The server says more when it has the newer one.`,
  asOf: (when: string) => `The server said so ${when}.`,
  within: (count: number, share: string) =>
    `Each of the ${lots(count)} is judged for itself. ${share} of the spread in head size lies between them.`,
  lotEven: (value: string, low: string, high: string) => `uniformity of heads ${value} (${low} to ${high})`,
  reads: 'How you read heads',
  like: (low: string, high: string, count: number) =>
    `Like the others, on the same lots in the same weeks (${low} to ${high}, over ${walks(count)}).`,
  large: (by: string, low: string, high: string, count: number) =>
    `About ${by} larger than the others, on the same lots in the same weeks (${low} to ${high}, over ${walks(count)}).`,
  small: (by: string, low: string, high: string, count: number) =>
    `About ${by} smaller than the others, on the same lots in the same weeks (${low} to ${high}, over ${walks(count)}).`,
  together: 'That is a habit of the eye, no mistake. Read a few pots together with another scout.',
};
