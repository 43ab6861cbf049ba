/**
 * Goes page by page through what is to be sent again, and takes back what this phone believes of the server's journal. What the server
 * may have lost of others' notes is unconfirmed until a pull shows it again; missing.ts looks for what no pull has shown.
 */
import { forgetGone } from '../letgo/gone';
import type { Work } from '../store/base';
import { can, doubt, isApart, isSent, stateOf } from '../store/entryState';
import type { Refolded } from '../store/folding';
import { headsOf } from '../store/packs/packs';
import { pageAfter } from '../store/pages';
import { PAGE } from '../store/pageSize';
import { refold } from '../store/refold';
import type { Cursor, PartialWalks, Recovery } from '../store/shape';
import { checkPack } from './packs';
import { keepRecovery } from './mark';
import { askToFindMissing, requeue } from './requeue';

/** Queues the next page of own notes that the server may have lost. */
export async function requeuePage(work: Work, recovery: Recovery): Promise<Refolded> {
  const [task, ...others] = recovery.requeue ?? [];
  if (!task) return refold(work, []);
  const { device, after, inc, apart } = task;
  const range = IDBKeyRange.bound([device, ...after], inc === undefined ? [device, []] : [device, inc, []], true);
  const rows = await work.objectStore('entries').index('own').getAll(range, PAGE);
  const lost = rows.filter((row) => isSent(row) && (!apart || stateOf(row) !== 'merged'));
  await requeue(work, lost);
  const last = rows.length === PAGE ? rows[PAGE - 1]?.own : undefined;
  const rest = last ? [{ ...task, after: [last[1], last[2]] }, ...others] : others;
  await keepRecovery(work, { ...recovery, requeue: rest });
  return refold(
    work,
    lost.flatMap((row) => row.keys),
  );
}

/** How many packs are doubted in one transaction, for which a tap may have to wait. */
const PACKS = 3;

/** Doubts the next page of what the server has shown. With the last page the cursor goes back to the beginning. */
export async function rereadPage(work: Work, recovery: Recovery): Promise<Refolded> {
  // First the packs, a few at a time: each is held to its head, so that the pages that come find its notes.
  const heads = (await headsOf(work)).filter(({ unconfirmed }) => !unconfirmed).slice(0, PACKS);
  if (heads.length > 0) {
    for (const head of heads) await checkPack(work, head, true);
    return refold(work, []);
  }
  const entries = work.objectStore('entries');
  const rows = await pageAfter(entries, recovery.reread?.after ?? '');
  // What the server did not merge has no place; only another push shows whether it is still there.
  const apart = rows.filter((row) => isSent(row) && isApart(row));
  await requeue(work, apart);
  for (const row of rows) if (can(row, 'doubt')) await entries.put(doubt(row));
  const { reread: _done, ...rest } = recovery;
  const last = rows.length === PAGE ? rows[PAGE - 1] : undefined;
  if (last) await keepRecovery(work, { ...rest, reread: { after: last.id } });
  else {
    await keepRecovery(work, rest);
    await readFromTheBeginning(work);
  }
  return refold(
    work,
    apart.flatMap((row) => row.keys),
  );
}

async function readFromTheBeginning(work: Work): Promise<void> {
  const meta = work.objectStore('meta');
  const cursor = (await meta.get('cursor')) as Cursor | undefined;
  if (cursor) {
    const { proof: _proof, first, ...rest } = cursor;
    // What the first pull left out is not counted: until it comes, records are still arriving.
    await meta.put({ ...rest, position: 0, ...(first !== undefined && { whole: false }) }, 'cursor');
  }
  await forgetGone(work);
  await meta.put({}, 'sums');
  const partial = (await meta.get('partial')) as PartialWalks | undefined;
  if (partial) await meta.put({ ...partial, isReread: true } satisfies PartialWalks, 'partial');
  await askToFindMissing(work);
}
