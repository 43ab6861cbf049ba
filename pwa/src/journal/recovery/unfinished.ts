/**
 * Recoveries that go through many entries: some hundred a transaction, each page together with the mark that says what is still to be
 * done. A phone that is closed between two pages goes on from the mark when it starts again, before it asks the server for anything.
 */
import { foldVersion } from '../../../../schema/kinds';
import { within, type Work } from '../store/base';
import { publish } from '../store/changes';
import { isSent } from '../store/entryState';
import type { Refolded } from '../store/folding';
import { areDamaged, packsIn } from '../store/packs/script';
import type { Meta } from '../store/shape';
import { askToReread, askToRequeue, recoveryOf } from './mark';

/** True once each head was seen to have its body, and each body its head. */
let werePaired = false;

/**
 * Finds whether packs were lost or damaged. What is done about it comes as a script of its own. Their names are read once a start: a browser
 * goes over all of them for that, and meanwhile a tap waits.
 */
export async function lookToPacks(): Promise<void> {
  werePaired ||= await within('readonly', ['entries'], async (work) => {
    const packs = await packsIn(work);
    return packs ? packs.areAllPaired(work) : (await work.objectStore('packed').count()) === 0;
  }).catch((error: unknown) => {
    if (!areDamaged()) throw error;
    return false;
  });
  if (werePaired && !areDamaged()) return;
  await (await import('./packs')).repairPacks();
}

/** Does what is still to be done, to its end. */
export async function finishRecovery(): Promise<void> {
  for (;;) {
    const { isUnread, isDone } = await within('readonly', ['meta'], async (work) => {
      const { unread: _under, ...rest } = await recoveryOf(work);
      const fold = ((await work.objectStore('meta').get('fold')) as Meta['fold'] | undefined) ?? 0;
      return { isUnread: fold !== foldVersion, isDone: Object.keys(rest).length === 0 };
    });
    if (isDone && !isUnread) return;
    const page = isDone ? await pageOfUnread() : await pageOfRest();
    publish({ ...(await within('readwrite', ['entries', 'records', 'meta'], page)), queue: true, away: true });
  }
}

/** Comes with an update only, and so does its script. */
async function pageOfUnread(): Promise<(work: Work) => Promise<Refolded>> {
  const { unreadPage } = await import('./unread');
  return async (work) => unreadPage(work, await recoveryOf(work));
}

/** Comes only where there is something to recover. What was lost is found first: reading again begins with what is left. */
async function pageOfRest(): Promise<(work: Work) => Promise<Refolded>> {
  const [{ rewindPage }, { requeuePage, rereadPage }] = await Promise.all([import('./rewind'), import('./reread')]);
  return async (work) => {
    const recovery = await recoveryOf(work);
    if (recovery.requeue && recovery.requeue.length > 0) return requeuePage(work, recovery);
    return recovery.rewind ? rewindPage(work, recovery) : rereadPage(work, recovery);
  };
}

/** Marks what is to be recovered, and does it to its end. */
export async function recoverWhat<T>(mark: (work: Work) => Promise<T>): Promise<T> {
  const marked = await within('readwrite', ['entries', 'meta'], mark);
  await finishRecovery();
  return marked;
}

/** The server has less of this phone than it has acknowledged: what comes after goes back into the queue, of later incarnations too. */
export async function requeueAfter(device: string, inc: number, high: number): Promise<void> {
  await recoverWhat(async (work) => {
    let step = await work
      .objectStore('entries')
      .index('own')
      .openCursor(IDBKeyRange.bound([device, inc, high + 1], [device, []]));
    while (step && !isSent(step.value)) step = await step.continue();
    if (step) await askToRequeue(work, { device, after: [inc, high] });
  });
}

/** The journal may be another than the one that was read: it is read again from its beginning, over what is here. */
export async function rereadJournal(): Promise<void> {
  await recoverWhat(askToReread);
}

/** The server was restored from a backup and has another journal from this position on. */
export async function rewind(epoch: string, forkedAt: number): Promise<void> {
  const { askToRewind } = await import('./rewind');
  await recoverWhat((work) => askToRewind(work, epoch, forkedAt));
}
