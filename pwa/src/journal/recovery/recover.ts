/**
 * What the phone does when the server says that the two do not stand where the phone thinks. Nothing is ever thrown
 * away: entries go back into the queue, get new numbers, or are read again.
 */
import type { Entry, Problem, Recount } from '../../../../schema/types';
import { requeueNewest, askToFindMissing, requeue, requeueAfter } from './requeue';
import { within, type Work } from '../store/base';
import { publish } from '../store/changes';
import { addTo, proofOf } from '../inbox/pull';
import { keysOfEntry, refold } from '../store/refold';
import type { Cursor, EntryRow, LotSum, Writer } from '../store/shape';
import { incarnation, type Refusal } from '../wire';
import { chained } from '../outbox/write';

/** Mends what a refusal names. @returns false when the refusal is nothing that the phone can mend by itself. */
export async function recover(refusal: Refusal): Promise<boolean> {
  const problem = refusal.problem;
  switch (problem?.code) {
    case 'gap':
      return problem.high !== undefined && (await requeueFrom(problem.high));
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

/** The server has less of this phone than the phone remembers: everything after goes back into the queue. */
async function requeueFrom(high: number): Promise<boolean> {
  return within('readwrite', ['entries', 'records', 'meta'], async (work) => {
    const first = await work.objectStore('entries').index('pending').get(IDBKeyRange.lowerBound([]));
    if (!first) return false;
    const { device, inc } = first.entry;
    const reach = IDBKeyRange.bound([device, inc, high + 1], [device, inc, Number.MAX_SAFE_INTEGER]);
    const rows = await work.objectStore('entries').index('own').getAll(reach);
    await requeue(
      work,
      rows.filter((row) => row.pending === undefined),
    );
    // Without the entry after high there is nothing that could close the gap.
    return rows.some((row) => row.own?.[2] === high + 1);
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
  if (epoch !== undefined && epoch !== cursor.epoch) await requeueNewest(writer.device);
}

/**
 * The server was restored from a backup: what it had after the fork is no longer there. One's own notes of that
 * stretch are queued again; others' stay until their phones have sent them again, so that none is lost meanwhile.
 */
async function rewind(epoch: string, forkedAt: number): Promise<void> {
  const folded = await within('readwrite', ['entries', 'records', 'meta'], async (work) => {
    const meta = work.objectStore('meta');
    const writer = (await meta.get('writer')) as Writer | undefined;
    const all = await work.objectStore('entries').getAll();
    // What was kept apart has no position, and may be lost all the same.
    const lost = all.filter((row) => row.position > forkedAt || (row.own !== undefined && row.state !== undefined));
    const own = lost.filter((row) => row.own !== undefined);
    await requeue(
      work,
      own.filter((row) => row.entry.device === writer?.device),
    );
    // Of an earlier pairing of this phone: sent under the present one, since nobody else may hold them.
    if (writer)
      await moveAll(
        work,
        writer,
        own.filter((row) => row.entry.device !== writer.device),
      );
    const cursor = (await meta.get('cursor')) as Cursor | undefined;
    const position = Math.min(cursor?.position ?? 0, forkedAt);
    const last = all.find((row) => row.position === position);
    const proof = last && proofOf(last);
    // The proof is of one position alone.
    const { proof: _before, ...kept } = cursor ?? { whole: false };
    await meta.put({ ...kept, epoch, position, ...(proof && { proof }), head: position, backedUpTo: 0 }, 'cursor');
    await meta.delete('sent');
    for (const row of lost) if (row.own === undefined) await work.objectStore('entries').put({ ...row, position: 0 });
    await askToFindMissing(work);
    await recount(
      work,
      all.filter((row) => row.position > 0 && row.position <= position),
    );
    return refold(
      work,
      lost.flatMap((row) => row.keys),
    );
  });
  publish({ ...folded, queue: true });
}

/** Reckons the lot sums anew. */
async function recount(work: Work, rows: readonly EntryRow[]): Promise<void> {
  const sums: Record<string, LotSum> = {};
  for (const row of rows) addTo(sums, row);
  await work.objectStore('meta').put(sums, 'sums');
}

/** Goes on under another incarnation: the chain showed that this phone was copied or set back. */
export async function takeIncarnation(inc: number): Promise<void> {
  await rekey((writer) => ({ ...writer, inc, seq: 0, chain: '' }));
}

/**
 * Gives the notes that were never acknowledged new numbers and a new chain; their ids stay, so a note that did arrive
 * is not counted twice. With another device only the notes of the person now paired move; the others are parked.
 */
export async function rekey(to: (writer: Writer) => Writer): Promise<void> {
  const folded = await within('readwrite', ['entries', 'records', 'meta'], async (work) => {
    const meta = work.objectStore('meta');
    const entries = work.objectStore('entries');
    const old = (await meta.get('writer')) as Writer | undefined;
    if (!old) return { rows: [], gone: [] };
    const writer = to(old);
    const waiting = [...(await entries.index('pending').getAll()), ...(await entries.index('parked').getAll())];
    for (const row of waiting) if (row.entry.person !== writer.person) await entries.put(parked(row));
    await moveAll(
      work,
      writer,
      waiting.filter((row) => row.entry.person === writer.person),
    );
    return refold(
      work,
      waiting.flatMap((row) => row.keys),
    );
  });
  publish({ ...folded, queue: true });
}

export async function moveAll(work: Work, writer: Writer, rows: readonly EntryRow[]): Promise<void> {
  const renamed: Renamed[] = [];
  for (const row of rows) await work.objectStore('entries').put(moved(row, writer, renamed));
  await work.objectStore('meta').put(writer, 'writer');
}

interface Renamed {
  from: string;
  fromSeq: number;
  to: string;
  toSeq: number;
}

function moved(row: EntryRow, writer: Writer, renamed: Renamed[]): EntryRow {
  const was = row.entry;
  const entry: Entry = { ...was, device: writer.device, inc: writer.inc, seq: writer.seq + 1 };
  if (entry.kind === 'recount') entry.body = withBasis(entry.body as Recount, renamed);
  renamed.push({ from: nameOf(was), fromSeq: was.seq, to: nameOf(entry), toSeq: entry.seq });
  return chained(writer, entry);
}

function nameOf(entry: Entry): string {
  return `${entry.device}.${entry.inc}`;
}

/** A recount's basis names changes by their writers' numbers, so it follows the changes to their new ones. */
function withBasis(body: Recount, renamed: readonly Renamed[]): Recount {
  const basis = { ...body.basis };
  for (const each of renamed) {
    const covered = body.basis[each.from];
    if (covered === undefined || covered < each.fromSeq) continue;
    basis[each.to] = Math.max(basis[each.to] ?? 0, each.toSeq);
    // What stays under the old name is only what was acknowledged there.
    basis[each.from] = Math.min(basis[each.from] ?? 0, each.fromSeq - 1);
  }
  return { ...body, basis };
}

function parked(row: EntryRow): EntryRow {
  const { pending: _pending, ...rest } = row;
  return { ...rest, keys: keysOfEntry(row.entry), parked: 1 };
}
