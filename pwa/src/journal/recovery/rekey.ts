/** Has a phone go on under other numbers. What gives its notes these is seldom needed, and comes as a script of its own. */
import { within } from '../store/base';
import { publish } from '../store/changes';
import type { Writer } from '../store/shape';

/** Goes on under another incarnation: the chain showed that this phone was copied or set back. */
export async function takeIncarnation(inc: number): Promise<void> {
  await rekey((writer) => ({ ...writer, inc, seq: 0, chain: '' }));
}

/**
 * Gives the notes that were never acknowledged new numbers and a new chain; their ids stay, so a note that did arrive
 * is not counted twice. With another device only the notes of the person now paired move; the others are parked.
 * @param to the writer as it is to be, of the one that is
 */
export async function rekey(to: (writer: Writer) => Writer): Promise<void> {
  const { movePending } = await import('./renumber');
  const folded = await within('readwrite', ['entries', 'records', 'meta'], (work) => movePending(work, to));
  publish({ ...folded, queue: true });
}
