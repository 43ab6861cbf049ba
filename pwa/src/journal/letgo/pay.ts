/** Pays what is owed: all notes of a record whose first one was let go are asked of the server, and the sums moved by what came late. */
import { fold, textHash } from '../../../../sync/fold/fold';
import { addSum, canonicalRecord, parseSum, subSum, sumHex } from '../../../../sync/journal/journal';
import type { Pulled, Stamped } from '../../../../schema/types';
import { unheard, within, type Work } from '../store/base';
import { publish } from '../store/changes';
import type { Refolded } from '../store/folding';
import { refold } from '../store/refold';
import type { Cursor } from '../store/shape';
import { entriesOfRecords } from '../wire';
import { mapOf, moveRecordSum } from './gone';
import { isAbsent } from './owed';

/** As many records as one request may ask for. */
const AT_ONCE = 50;

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
