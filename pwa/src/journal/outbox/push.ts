/**
 * Sends the outbox, oldest first. A batch counts as delivered only when the server names every entry of it; then the
 * stamps are kept with the entries and the records folded again, in one transaction.
 */
import type { PushAnswer } from '../../../../schema/types';
import { canonical } from '../../../../sync/journal/journal';
import { askToReread } from '../recovery/mark';
import { isFull, within, type Work } from '../store/base';
import { publish } from '../store/changes';
import { mono, session, wall } from '../store/device';
import { can, keepApart, merge, stepOf } from '../store/entryState';
import type { Refolded } from '../store/folding';
import { refold } from '../store/refold';
import type { Cursor, EntryRow, Writer } from '../store/shape';
import { push, Refusal, type Batch } from '../wire';

export const MAX_ENTRIES = 500;
export const MAX_BYTES = 256 * 1024;
/** Room for the batch's own fields around its entries. */
const ENVELOPE_BYTES = 1024;

const encoder = new TextEncoder();

/**
 * Sends the whole outbox.
 * @throws Refusal when the server could not be asked or does not take it, or what a phone throws that has no room to write down that a batch
 * arrived: then all was sent, and is sent again later
 */
export async function pushAll(heard: (answer: PushAnswer) => void): Promise<void> {
  let most = MAX_ENTRIES;
  let noRoom: unknown;
  let after: [number, number] | undefined;
  for (;;) {
    const batch = await nextBatch(most, after);
    if (!batch && noRoom) throw noRoom;
    if (!batch) return;
    try {
      const answer = await push(batch);
      await delivered(answer, batch).catch((error: unknown) => {
        if (!isFull(error)) throw error;
        noRoom = error;
        after = [batch.push.inc, batch.push.from + batch.texts.length - 1];
      });
      heard(answer);
      most = MAX_ENTRIES;
    } catch (error) {
      // The server cannot read the batch: halve it until the one entry that it stumbles over stands alone.
      if (batch.texts.length === 1 || !isUnreadable(error)) throw error;
      most = Math.floor(batch.texts.length / 2);
    }
  }
}

export function isUnreadable(error: unknown): boolean {
  if (!(error instanceof Refusal) || error.why !== 'refused') return false;
  return error.problem?.status === 400 || error.problem?.status === 413 || error.problem?.status === 422;
}

const ofNotesAlone = ['quarantine_full', 'server_clock'];

/** True for a refusal of notes alone: what others wrote can be read meanwhile, and photos sent. */
export function isOfNotesAlone(error: unknown): error is Refusal {
  return error instanceof Refusal && ofNotesAlone.includes(error.problem?.code ?? '');
}

/**
 * The next batch: entries of one incarnation in sequence without a gap, as many as fit.
 * @param after the incarnation and sequence of the last that was sent already
 */
export async function nextBatch(most = MAX_ENTRIES, after?: [number, number]): Promise<Batch | undefined> {
  return within('readonly', ['entries', 'meta'], async (work) => {
    const pending = work.objectStore('entries').index('pending');
    const rest = after && IDBKeyRange.lowerBound(after, true);
    const cursor = (await work.objectStore('meta').get('cursor')) as Cursor | undefined;
    return batchOf(work, await pending.getAll(rest, most), await pending.count(rest), cursor?.epoch ?? '');
  });
}

/**
 * As many of these notes, from the first on, as one batch takes; undefined where there is none.
 * @param all how many there are, of which these are the first
 */
export async function batchOf(
  work: Work<'readonly'>,
  waiting: readonly EntryRow[],
  all: number,
  epoch: string,
): Promise<Batch | undefined> {
  const writer = (await work.objectStore('meta').get('writer')) as Writer | undefined;
  const first = waiting[0];
  if (!writer || !first) return undefined;
  const chosen = fitting(waiting);
  const { device, inc, seq } = first.entry;
  const before = await work
    .objectStore('entries')
    .index('own')
    .get([device, inc, seq - 1]);
  return {
    push: {
      v: 1,
      device: writer.device,
      inc,
      epoch,
      from: seq,
      chain: before?.chain ?? '',
      session,
      sent_wall: wall(),
      sent_mono: mono(),
      pending: all - chosen.length,
      entries: chosen.map((row) => row.entry),
    },
    texts: chosen.map(textOf),
  };
}

function fitting(waiting: readonly EntryRow[]): EntryRow[] {
  const chosen: EntryRow[] = [];
  let bytes = ENVELOPE_BYTES;
  for (const row of waiting) {
    const last = chosen[chosen.length - 1];
    if (last && (row.entry.inc !== last.entry.inc || row.entry.seq !== last.entry.seq + 1)) break;
    bytes += encoder.encode(textOf(row)).length + 1;
    if (last && bytes > MAX_BYTES) break;
    chosen.push(row);
  }
  return chosen;
}

function textOf(row: EntryRow): string {
  return row.text ?? canonical(row.entry);
}

async function delivered(answer: PushAnswer, batch: Batch): Promise<void> {
  const folded = await within('readwrite', ['entries', 'records', 'meta'], async (work) => {
    const entries = work.objectStore('entries');
    const touched: string[] = [];
    for (const [index, given] of answer.given.entries()) {
      const row = await entries.get((batch.push.entries[index] as { id: string }).id);
      // Two tabs of a browser without locks may send the same: the first answer has been kept.
      if (!row || !can(row, stepOf(given.state))) continue;
      const { state, stamp, position, faults } = given;
      await entries.put(
        state === 'merged' ? merge(row, stamp, position ?? row.position) : { ...keepApart(row, state, faults), stamp },
      );
      touched.push(...row.keys);
    }
    await heardServer(work, answer.server_now, answer.backed_up_to);
    const cursor = (await work.objectStore('meta').get('cursor')) as Cursor | undefined;
    // A note stands where this phone has read already and did not find it: the journal is not the one that it read.
    if (answer.given.some((given) => given.state === 'merged' && (given.position ?? 0) <= (cursor?.position ?? 0)))
      await askToReread(work);
    const highest = Math.max(0, ...answer.given.map((given) => given.position ?? 0));
    await work.objectStore('meta').put({ at: wall(), position: highest }, 'sent');
    return refold(work, touched);
  });
  publish({ ...(folded satisfies Refolded), queue: true });
}

/** A server time that is earlier by more than this comes from a server whose clock was ahead and has been put right. */
const CLOCK_SET_BACK_MS = 5 * 60_000;

/** Keeps the newest server time seen: no later note of this phone can be older than it. */
export async function heardServer(work: Work, now: number, backedUpTo: number): Promise<void> {
  const meta = work.objectStore('meta');
  const writer = (await meta.get('writer')) as Writer | undefined;
  if (writer && (now > writer.floor || now < writer.floor - CLOCK_SET_BACK_MS)) {
    await meta.put({ ...writer, floor: now }, 'writer');
  }
  const cursor = (await meta.get('cursor')) as Cursor | undefined;
  if (cursor && backedUpTo > cursor.backedUpTo) await meta.put({ ...cursor, backedUpTo }, 'cursor');
}
