/**
 * A note that comes late, for a record whose first note was let go. Its hash is in the lot's sum at once. What it makes of the record
 * cannot be folded here, so that is owed: all notes of the record are asked of the server, folded without it and with it, and the
 * difference is moved in the sum of all records. Until nothing is owed that sum is compared with nothing.
 */
import { fold, textHash } from '../../../../sync/fold/fold';
import { addSum, canonicalRecord, parseSum, subSum, sumHex } from '../../../../sync/journal/journal';
import type { Pulled, Stamped } from '../../../../schema/types';
import { unheard, within, type Work } from '../store/base';
import { publish } from '../store/changes';
import { refold, type Refolded } from '../store/refold';
import type { Cursor, EntryRow } from '../store/shape';
import { entriesOfRecords } from '../wire';
import { mapOf, moveRecordSum } from './gone';

/** As many records as one request may ask for. */
const AT_ONCE = 50;

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
async function isAbsent(work: Work, key: string): Promise<boolean> {
  const [, id] = /^(?:pot|fact):(.+)$/.exec(key) ?? [];
  return id !== undefined && (await work.objectStore('entries').getKey(id)) === undefined;
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

/** Asks for what is owed, and moves the sums. @throws Refusal */
export async function payOwed(cursor: Cursor): Promise<void> {
  for (let keys = await owedKeys(); keys.length > 0; keys = await owedKeys()) {
    const items = await entriesOfRecords(keys, cursor.epoch, cursor.position);
    const folded = await within('readwrite', ['entries', 'records', 'meta'], (work) =>
      settle(work, keys, items, cursor),
    );
    if (!folded) return;
    publish({ ...folded, queue: true });
  }
}

async function owedKeys(): Promise<string[]> {
  return within('readonly', ['meta'], async (work) => [...(await mapOf(work, 'owed')).keys()].slice(0, AT_ONCE));
}

/** @returns undefined when the journal has gone on meanwhile: then it is asked again */
async function settle(
  work: Work,
  keys: readonly string[],
  items: readonly Pulled[],
  { epoch, position }: Cursor,
): Promise<Refolded | undefined> {
  const meta = work.objectStore('meta');
  const now = (await meta.get('cursor')) as Cursor | undefined;
  if (now?.epoch !== epoch || now.position !== position) return undefined;
  const [owed, gone] = [await mapOf(work, 'owed'), await mapOf(work, 'gone')];
  const whole: string[] = [];
  for (const key of keys) {
    const from = owed.get(key);
    owed.delete(key);
    if (from === undefined) continue;
    const first = items.find(({ entry }) => key.endsWith(`:${(entry as Stamped['entry']).id}`));
    const lot = (first?.entry as Stamped['entry'] | undefined)?.lot ?? '';
    const part = gone.get(lot);
    // Its first note is here, or nowhere yet: then nothing of it was let go.
    if (!part || !(await isAbsent(work, key))) {
      whole.push(key);
      continue;
    }
    const all = items as readonly Stamped[];
    const without = all.filter((each) => each.position < from);
    const change = (sum: string) => sumHex(subSum(addSum(parseSum(sum), hashOf(key, all)), hashOf(key, without)));
    await moveRecordSum(work, { add: change(sumHex(0n)) });
    const last = Math.max(part.last, ...all.map((each) => each.position));
    gone.set(lot, { ...part, records: change(part.records), last });
  }
  unheard(meta.put(owed, 'owed'));
  unheard(meta.put(gone, 'gone'));
  return refold(work, whole);
}

/** A record's part in the sum of all records; nothing where these notes make none. */
function hashOf(key: string, entries: readonly Stamped[]): bigint {
  try {
    const record = fold(key, entries);
    return record ? textHash(canonicalRecord(record)) : 0n;
  } catch {
    return 0n;
  }
}
