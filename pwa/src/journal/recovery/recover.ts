/** What the phone does when the server and it do not stand where the phone thinks. Nothing is ever thrown away. */
import type { Problem } from '../../../../schema/types';
import { hasAny } from '../letgo/gone';
import { isFull, within } from '../store/base';
import type { Cursor, Writer } from '../store/shape';
import { incarnation, type Refusal } from '../wire';
import { takeIncarnation } from './rekey';
import { recoverWhat, requeueAfter, rereadJournal, rewind } from './unfinished';

/**
 * Repairs what a refusal names. Where there is no room to write that down, own notes are sent all the same.
 * @returns false when it is nothing that the phone can repair by itself
 */
export async function recover(refusal: Refusal): Promise<boolean> {
  try {
    return await repair(refusal);
  } catch (error) {
    if (!isFull(error)) throw error;
    await (await import('../outbox/withoutRoom')).sendWithoutRoom();
    if (refusal.problem?.code === 'revoked') return false;
    throw error;
  }
}

async function repair(refusal: Refusal): Promise<boolean> {
  const problem = refusal.problem;
  switch (problem?.code) {
    case 'gap':
      if (problem.high === undefined) return false;
      if (!(await requeueGap(problem.high))) {
        if (!(await hasAny('gone'))) return false;
        // The note that would close the gap was let go. What waits goes on under another incarnation.
        await takeIncarnation(await incarnation());
      }
      return true;
    case 'parameter':
      // A server of an earlier release cannot read what names the first pull.
      if (!(await isFirstPull())) return false;
      await rereadJournal();
      return true;
    case 'first_pull_over':
      await rereadJournal();
      return true;
    case 'fork':
      await takeIncarnation(problem.inc ?? (await incarnation()));
      return true;
    case 'rewind':
      if (problem.epoch === undefined || problem.forked_at === undefined) return false;
      await rewind(problem.epoch, problem.forked_at);
      return true;
    case 'revoked':
      // The request is refused for good; what has to be sent again goes with the next push.
      await followRevoked(problem);
      return false;
    default:
      return false;
  }
}

async function isFirstPull(): Promise<boolean> {
  return within('readonly', ['meta'], async (work) => {
    const cursor = (await work.objectStore('meta').get('cursor')) as Cursor | undefined;
    return cursor?.first !== undefined;
  });
}

/** The refusal says where the server stands with this phone: what it has lost goes back into the queue. */
async function followRevoked({ epoch, inc, high }: Problem): Promise<void> {
  const { writer, cursor } = await within('readonly', ['meta'], async (work) => ({
    writer: (await work.objectStore('meta').get('writer')) as Writer | undefined,
    cursor: (await work.objectStore('meta').get('cursor')) as Cursor | undefined,
  }));
  if (!writer || !cursor) return;
  if (inc !== undefined && high !== undefined) await requeueAfter(writer.device, inc, high);
  if (epoch !== undefined && epoch !== cursor.epoch) {
    const { requeueNewest } = await import('./requeue');
    await recoverWhat((work) => requeueNewest(work, writer.device));
  }
}

async function requeueGap(high: number): Promise<boolean> {
  const { requeueFrom } = await import('./requeue');
  return recoverWhat((work) => requeueFrom(work, high));
}
