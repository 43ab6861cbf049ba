/** Asks what became of one's own notes in quarantine: nothing else says that one was rejected. */
import { within } from '../store/base';
import { publish } from '../store/changes';
import { can, isApart, keepApart, merge, stepOf } from '../store/entryState';
import { refold } from '../store/refold';
import { quarantineStates } from '../wire';

const MOST = 500;

/** @throws Refusal */
export async function refreshQuarantined(): Promise<void> {
  const ids = await within('readonly', ['entries'], async (work) => {
    const states = work.objectStore('entries').index('state');
    const [quarantined, inReview] = await Promise.all([states.getAll('quarantined'), states.getAll('inReview')]);
    return [...quarantined, ...inReview].map((row) => row.id).slice(0, MOST);
  });
  if (ids.length === 0) return;
  const states = await quarantineStates(ids);
  const folded = await within('readwrite', ['entries', 'records', 'meta'], async (work) => {
    const touched: string[] = [];
    for (const { id, state } of states) {
      const row = await work.objectStore('entries').get(id);
      // Meanwhile it may have been sent again, or a pull may have shown it.
      if (!row || !isApart(row) || !can(row, stepOf(state))) continue;
      // One that is merged gets its place by the next pull; a revoked phone, which has none, is content without.
      const next = state === 'merged' ? merge(row, row.stamp, 0) : keepApart(row, state, row.faults);
      if (next.state === row.state) continue;
      await work.objectStore('entries').put(next);
      touched.push(...row.keys);
    }
    return refold(work, touched);
  });
  publish({ ...folded, queue: true });
}
