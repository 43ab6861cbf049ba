/**
 * The server was restored from a backup: what it had after the fork is no longer there. One's own notes of that
 * stretch are queued again; others' stay until their phones have sent them again, so that none is lost meanwhile.
 */
import { addSumTo, addTo, proofOf } from '../inbox/pull';
import { forgetGone, lastGone, sumsOfGone } from '../letgo/gone';
import type { Work } from '../store/base';
import { can, doubt, isSent } from '../store/entryState';
import { pageAfter } from '../store/pages';
import { headsOf, openPack, rowsIn } from '../store/packs/packs';
import { takeOutWhere } from '../store/packs/takeOut';
import { PAGE } from '../store/pageSize';
import { addFolded, type Refolded } from '../store/folding';
import { refold } from '../store/refold';
import type { Cursor, EntryRow, Recovery, Rewind, Writer } from '../store/shape';
import { moveLost } from './renumber';
import { dropPack } from './dropPack';
import { keepRecovery, recoveryOf } from './mark';
import { askToFindMissing, requeue } from './requeue';

/** Marks that the phone has to go back to where the server's journals part. Nothing else is changed yet. */
export async function askToRewind(work: Work, epoch: string, forkedAt: number): Promise<void> {
  const cursor = (await work.objectStore('meta').get('cursor')) as Cursor | undefined;
  // Where the server lost a note that this phone let go, or the first pull is not over, all of it is read again.
  const isShort = (await lastGone(work)) > forkedAt || cursor?.first !== undefined;
  const position = isShort ? 0 : Math.min(cursor?.position ?? 0, forkedAt);
  const sums = position === 0 ? {} : await sumsOfGone(work);
  const recovery = await recoveryOf(work);
  await keepRecovery(work, { ...recovery, rewind: { epoch, forkedAt, position, after: '', sums } });
}

/**
 * Goes through the next page of entries: doubts or queues what is lost, and adds up the sums of what is not. With the last page
 * the cursor goes back, and never before: until then the server is not asked.
 */
export async function rewindPage(work: Work, recovery: Recovery): Promise<Refolded> {
  const { rewind, ...rest } = recovery;
  if (!rewind) return refold(work, []);
  // First what is lost of packs becomes rows, a pack at a time.
  const lostPack = (await headsOf(work)).find(({ last, unconfirmed }) => !unconfirmed && last > rewind.forkedAt);
  if (lostPack) {
    if (!(await takeOutWhere(work, lostPack, 'position', (at) => (at as number) > rewind.forkedAt)))
      await dropPack(work, lostPack);
    return refold(work, []);
  }
  const entries = work.objectStore('entries');
  const writer = (await work.objectStore('meta').get('writer')) as Writer | undefined;
  const rows = await pageAfter(entries, rewind.after);
  // What has no position, as what is in quarantine, may be lost all the same.
  const placeless = (row: EntryRow) => row.own !== undefined && row.position === 0 && isSent(row);
  const isLost = (row: EntryRow) => row.position > rewind.forkedAt || placeless(row);
  const lost = rows.filter(isLost);
  await requeue(
    work,
    lost.filter((row) => row.own !== undefined && row.entry.device === writer?.device),
  );
  for (const row of lost) if (row.own === undefined && can(row, 'doubt')) await entries.put(doubt(row));
  const next: Rewind = { ...rewind, after: rows[rows.length - 1]?.id ?? rewind.after };
  for (const row of rows) {
    if (row.position > 0 && row.position <= next.position) addTo(next.sums, row);
    if (row.position === next.position) next.proof = proofOf(row);
  }
  const folded = await refold(
    work,
    lost.flatMap((row) => row.keys),
  );
  if (rows.length === PAGE) {
    await keepRecovery(work, { ...rest, rewind: next });
    return folded;
  }
  await keepRecovery(work, rest);
  if (writer) addFolded(folded, await refold(work, await moveLost(work, writer, isLost)));
  await countPacks(work, next);
  await goBack(work, next);
  return folded;
}

/** Adds what lies in packs up to where the cursor goes back. */
async function countPacks(work: Work, next: Rewind): Promise<void> {
  for (const head of await headsOf(work)) {
    if (head.unconfirmed || head.first > next.position) continue;
    const isWhole = head.last < next.position;
    const pack = isWhole ? undefined : await openPack(work, head);
    const rows = pack ? rowsIn(head, pack).filter(({ position }) => position <= next.position) : [];
    for (const row of rows) {
      addTo(next.sums, row);
      if (row.position === next.position) next.proof = proofOf(row);
    }
    if (isWhole) for (const [lot, sum] of head.sums) addSumTo(next.sums, lot, sum);
  }
}

async function goBack(work: Work, { epoch, position, proof, sums }: Rewind): Promise<void> {
  const meta = work.objectStore('meta');
  const cursor = (await meta.get('cursor')) as Cursor | undefined;
  // The proof is of one position alone.
  const { proof: _before, first, ...kept } = cursor ?? { whole: false };
  // What the first pull left out is not counted: until it comes, records are still arriving.
  if (first !== undefined) kept.whole = false;
  await meta.put({ ...kept, epoch, position, ...(proof && { proof }), head: position, backedUpTo: 0 }, 'cursor');
  await meta.delete('sent');
  if (position === 0) await forgetGone(work);
  await meta.put(sums, 'sums');
  await askToFindMissing(work);
}
