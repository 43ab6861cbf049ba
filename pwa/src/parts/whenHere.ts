/** When notes come that are wanted on this phone: never by themselves where the server gives it nothing, or it has no room. */
import { access, queue } from '../state';
import { amendWords } from '../words/rooms';

/** @param inRange what is said of a phone to which they come in range */
export function whenHere(inRange: string): string {
  const words = amendWords.value.houses;
  if (access.value !== '') return words.barred;
  return queue.value.state === 'full' ? words.noRoom : inRange;
}
