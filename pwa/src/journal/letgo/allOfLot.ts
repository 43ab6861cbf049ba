/** All notes of one lot, for when it is read again or comes back. */
import type { Cursor } from '../store/shape';
import { entriesOfLot, Refusal, type Received } from '../wire';

/**
 * @returns undefined where the server does not give this lot, or gives what cannot be read: the others may come all the same.
 * @throws Refusal where there is no answer, or what is wrong is not of this lot
 */
export async function allOfLot(lot: string, { epoch, position }: Cursor): Promise<Received[] | undefined> {
  try {
    return await entriesOfLot(lot, epoch, position);
  } catch (error) {
    if (error instanceof Refusal && error.why === 'refused' && error.problem?.code !== 'rewind') return undefined;
    throw error;
  }
}
