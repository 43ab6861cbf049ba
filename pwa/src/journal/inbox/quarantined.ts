/** Asks what became of one's own notes that the server keeps apart: nothing else tells that one was left out. */
import { within } from '../store/base';
import { publish } from '../store/changes';
import { refold } from '../store/refold';
import { quarantineStates } from '../wire';

const MOST = 500;

/** @throws Refusal */
export async function refreshQuarantined(): Promise<void> {
  const ids = await within('readonly', ['entries'], async (work) => {
    const states = work.objectStore('entries').index('state');
    const [held, review] = await Promise.all([states.getAll('held'), states.getAll('review')]);
    return [...held, ...review].map((row) => row.id).slice(0, MOST);
  });
  if (ids.length === 0) return;
  const told = await quarantineStates(ids);
  const folded = await within('readwrite', ['entries', 'records', 'meta'], async (work) => {
    const touched: string[] = [];
    for (const { id, state } of told) {
      const row = await work.objectStore('entries').get(id);
      if (!row?.state || row.state === state) continue;
      const { state: _state, faults, ...rest } = row;
      // One that is merged gets its place by the next pull; a revoked phone, which has none, is content without.
      if (state === 'merged') await work.objectStore('entries').put(rest);
      else {
        const decided = state === 'left' || state === 'review' ? state : 'held';
        await work.objectStore('entries').put({ ...rest, state: decided, ...(faults ? { faults } : {}) });
      }
      touched.push(...row.keys);
    }
    return refold(work, touched);
  });
  publish({ ...folded, queue: true });
}
