/** Whether a server that was set back may have lost something that no pull has shown since. */
import { within } from '../store/base';

export async function isAnyMissing(): Promise<boolean> {
  return within('readonly', ['meta'], async (work) => {
    const [unconfirmed, writer] = await Promise.all(
      ['unconfirmed', 'writer'].map((key) => work.objectStore('meta').get(key)),
    );
    return unconfirmed !== undefined && writer !== undefined;
  });
}
