import { appWords } from '.';
import { firstReading } from '../journal/inbox/arriving';
import { percent } from './format';

/**
 * "Getting the records: 7 %." until this device has read all of them once, undefined from then on. It stands where a screen would
 * say that there is none, or how many: until then that is not known.
 */
export function gettingRecords(): string | undefined {
  const share = firstReading.value;
  return share === undefined ? undefined : appWords.value.scout.firstReading.share(percent(share));
}
