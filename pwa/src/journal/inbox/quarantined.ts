/** Asks what became of one's own notes in quarantine: nothing else says that one was rejected. */
import { within } from '../store/base';
import { publish } from '../store/changes';
import { can, isApart, keepApart, merge, stepOf } from '../store/entryState';
import { pageUnder } from '../store/pages';
import { refold } from '../store/refold';
import { quarantineStates } from '../wire';

/** Asks page by page, so that no note stays unasked behind others that nobody decides about. @throws Refusal */
export async function refreshQuarantined(): Promise<void> {
  for (const state of ['quarantined', 'inReview']) {
    for (let after: string | undefined = ''; after !== undefined;) {
      const from: string = after;
      const ids = await within('readonly', ['entries'], async (work) => {
        const page = await pageUnder(work.objectStore('entries').index('state'), state, from);
        return page.map((row) => row.id);
      });
      if (ids.length > 0) await refresh(ids);
      after = ids[ids.length - 1];
    }
  }
}

async function refresh(ids: readonly string[]): Promise<void> {
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
