import { access, online, queue } from '../../state';
import { appWords } from '../../words';
import { amendWords } from '../../words/rooms';

/**
 * When notes that wait are sent. The browser's own word on the network comes first: the sync worker's is as old as its last try, and a
 * phone that came back a second ago has not tried yet.
 */
export function whenSent(): string {
  // Until it is paired again it sends nothing, in range or out of it.
  if (access.value === 'unpaired') return appWords.value.scout.queue.unpaired;
  if (!online.value) return amendWords.value.end.sentByItself;
  const words = appWords.value.scout.queue;
  return queue.value.state === 'syncing' ? words.syncing : words.resting;
}
