/** Counts in what the first pull left out, so that sums and cursor stand for the whole journal again. */
import { addSum, parseSum, sumHex } from '../../../../sync/journal/journal';
import { sumOf } from '../inbox/pull';
import { unheard, within } from '../store/base';
import { publish } from '../store/changes';
import type { Cursor, LotSum } from '../store/shape';
import { mapOf, moveRecordSum } from './gone';
import { allGone } from './summaries';

/** @returns the cursor as it then stands @throws Refusal */
export async function countInLeftOut(cursor: Cursor): Promise<Cursor> {
  const { first } = cursor;
  if (first === undefined) return cursor;
  const { lots, madeAt } = await allGone(first);
  const next = await within('readwrite', ['meta', 'records'], async (work) => {
    const meta = work.objectStore('meta');
    const now = ((await meta.get('cursor')) as Cursor | undefined) ?? cursor;
    // Another tab was first, or the journal is being read again.
    if (now.first !== first) return now;
    const gone = await mapOf(work, 'gone');
    const sums = ((await meta.get('sums')) as Record<string, LotSum> | undefined) ?? {};
    for (const { lot, count, sum, record_sum: records, summary } of lots) {
      gone.set(lot, { count, sum, records, last: now.position });
      const held = sumOf(sums, lot);
      sums[lot] = { count: held.count + count, sum: sumHex(addSum(parseSum(held.sum), parseSum(sum))) };
      await moveRecordSum(work, { add: records });
      unheard(meta.put({ ...summary, asOf: madeAt }, `summary:${lot}`));
    }
    const { first: _over, ...rest } = now;
    unheard(meta.put(gone, 'gone'));
    unheard(meta.put(sums, 'sums'));
    unheard(meta.put(rest, 'cursor'));
    return rest;
  });
  publish({ queue: true, away: true });
  return next;
}
