/**
 * Sends own notes to a server that was set back, from a phone that has no room to write down that they are to be sent again: as they lie
 * here, from the first on that the server names as missing. Nothing is written down. Once there is room they go again, and the server
 * knows them.
 */
import { asSent } from '../recovery/requeue';
import { within } from '../store/base';
import { stateOf } from '../store/entryState';
import type { Writer } from '../store/shape';
import { push, Refusal, type Batch } from '../wire';
import { batchOf, isOfNotesAlone, isUnreadable, MAX_ENTRIES } from './push';

/** What the server does not take this way either waits for room. @throws Refusal where another request would meet the same */
export async function sendWithoutRoom(): Promise<void> {
  let after = await beforeWaiting();
  for (let most = MAX_ENTRIES, asked = 0; ;) {
    const batch = await nextOwn(after, most);
    if (!batch) return;
    const { inc, from } = batch.push;
    try {
      await push(batch);
      after = [inc, from + batch.texts.length - 1];
      most = MAX_ENTRIES;
    } catch (error) {
      const high = error instanceof Refusal && error.problem?.code === 'gap' ? error.problem.high : undefined;
      if (high !== undefined && high < from - 1 && asked !== inc) [after, asked] = [[inc, high], inc];
      else if (batch.texts.length > 1 && isUnreadable(error)) most = Math.floor(batch.texts.length / 2);
      else if (isOfNotesAlone(error) || (error instanceof Refusal && error.why === 'refused')) return;
      else throw error;
    }
  }
}

/** Where the first note that waits follows; with none that waits the newest, at which the server says what it lacks before it. */
async function beforeWaiting(): Promise<[number, number]> {
  return within('readonly', ['entries', 'meta'], async (work) => {
    const entries = work.objectStore('entries');
    const first = await entries.index('pending').getKey(IDBKeyRange.lowerBound([]));
    const waiting = first === undefined ? undefined : await entries.get(first);
    const device = ((await work.objectStore('meta').get('writer')) as Writer | undefined)?.device ?? '';
    const newest = await entries.index('own').openCursor(IDBKeyRange.bound([device], [device, []]), 'prev');
    const [, inc = 1, seq = 1] = waiting?.own ?? newest?.value.own ?? [];
    return [inc, seq - 1];
  });
}

/** The next batch of own notes after one, as they were sent; without an epoch, of which this phone has none that the server would take. */
async function nextOwn(after: readonly number[], most: number): Promise<Batch | undefined> {
  return within('readonly', ['entries', 'meta'], async (work) => {
    const writer = (await work.objectStore('meta').get('writer')) as Writer | undefined;
    if (!writer) return undefined;
    const range = IDBKeyRange.bound([writer.device, ...after], [writer.device, []], true);
    const rows = await work.objectStore('entries').index('own').getAll(range, most);
    const sent = rows.map((row) => ({ ...row, entry: (row.text && asSent(row.text)) || row.entry }));
    // What is of a person who is not paired here now waits for that person.
    const own = sent.filter((row) => stateOf(row) !== 'parked');
    return batchOf(work, own, own.length, '');
  });
}
