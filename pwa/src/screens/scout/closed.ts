/** Which beds nobody may enter now, out of range too. */
import { closedUntil } from '../../../../sync/bed/judged';
import { applications } from '../../journal/records/registers';
import { serverNow } from '../../state';

/**
 * When the last entry interval of a bed ends, ms since 1970; 0 when none runs. By the earlier of the phone's clock and the server's, as
 * far as the phone has heard it: a clock that is ahead must not open a bed.
 */
export function closedNow(bed: string): number {
  const until = closedUntil(applications.value, bed);
  return until > Math.min(Date.now(), serverNow()) ? until : 0;
}
