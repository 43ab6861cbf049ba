/** The briefing that a phone gets from the server: what the last walk of a bed shows, and how the scout reads. */
import { counter, stop } from '../plural';

const walks = counter('en', { one: 'walk', other: 'walks' });
const lots = counter('en', { one: 'lot', other: 'lots' });

export const briefing = {
  says: 'What the last finished walk shows',
  walking: (seen: number, planned: number, who: string, when: string) =>
    `Walking: ${planned > 0 ? `${seen} of about ${planned}` : seen} (${who}, ${when})`,
  walkingShort: (seen: number, planned: number) => `walking, ${planned > 0 ? `${seen} of about ${planned}` : seen}`,
  seenAt: (said: string, when: string) => `${said} Seen ${when}; no walk since has checked enough pots to clear it.`,
  part: 'No walk of this bed has been finished: too few pots were checked for a number.',
  none: 'Nothing out of the ordinary.',
  laterFinding: 'The server found something that this version of the app cannot show. Reload the page to update it.',
  notMeasured: 'No head was measured and no buds were counted.',
  notYet: 'Shown once you’re in range.',
  older: (when: string) => `${stop(`From the walk ${when}`)} Updated once the server has the newer one.`,
  asOf: (when: string) => stop(`Updated ${when}`),
  within: (count: number, share: string) =>
    `Each of the ${lots(count)} is judged separately. ${share} of the spread in head size is between them.`,
  lotEven: (value: string, low: string, high: string) => `uniformity of heads ${value} (${low} to ${high})`,
  reads: 'How you read heads',
  like: (low: string, high: string, count: number) =>
    `Like the others, on the same lots in the same weeks (${low} to ${high}, over ${walks(count)}).`,
  large: (by: string, low: string, high: string, count: number) =>
    `About ${by} larger than the others, on the same lots in the same weeks (${low} to ${high}, over ${walks(count)}).`,
  small: (by: string, low: string, high: string, count: number) =>
    `About ${by} smaller than the others, on the same lots in the same weeks (${low} to ${high}, over ${walks(count)}).`,
  together: 'This is how you see, not an error. Check a few pots together with another scout.',
};
