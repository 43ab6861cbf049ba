/**
 * A note that comes late, for a record whose first note was let go. Its hash is in the lot's sum at once. What it makes of the record
 * cannot be folded here, so that is owed: all notes of the record are asked of the server, folded without it and with it, and the
 * difference is moved in the sum of all records. Until nothing is owed that sum is compared with nothing.
 */
import { canonicalRecord } from '../../../../sync/journal/journal';
import { unheard, type Work } from '../store/base';
import { packsIn } from '../store/packs/script';
import type { EntryRow } from '../store/shape';
import { mapOf, moveRecordSum } from './gone';

/**
 * Finds the records that these notes change and whose first note is not here, and writes down that they are owed.
 * @returns their keys, which are not to be folded
 */
export async function owe(work: Work, rows: readonly EntryRow[], isFirst: boolean): Promise<Set<string>> {
  const gone = await mapOf(work, 'gone');
  const absent = new Set<string>();
  if (gone.size === 0 && !isFirst) return absent;
  const owed = await mapOf(work, 'owed');
  for (const row of rows) {
    for (const key of row.keys) {
      if (key.endsWith(`:${row.id}`) || !(await isAbsent(work, key))) continue;
      absent.add(key);
      owed.set(key, Math.min(owed.get(key) ?? row.position, row.position));
    }
  }
  if (absent.size === 0) return absent;
  unheard(work.objectStore('meta').put(owed, 'owed'));
  await empty(work, absent);
  return absent;
}

/** True for a pot or a fact whose own note, by which it begins, is not here. */
export async function isAbsent(work: Work, key: string): Promise<boolean> {
  const [, id] = /^(?:pot|fact):(.+)$/.exec(key) ?? [];
  if (id === undefined || (await work.objectStore('entries').getKey(id)) !== undefined) return false;
  return !(await (await packsIn(work))?.isPacked(work, id));
}

/** A row without a record, so that a key with a note has one; a record that was made of the late notes alone leaves the sum. */
async function empty(work: Work, keys: Iterable<string>): Promise<void> {
  const records = work.objectStore('records');
  for (const key of keys) {
    const old = await records.get(key);
    if (old?.hash) await moveRecordSum(work, { take: old.hash });
    unheard(records.put({ key, kind: key.slice(0, key.indexOf(':')), text: canonicalRecord({ key }) }));
  }
}
