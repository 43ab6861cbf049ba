/**
 * Puts notes into the outbox again: as they were sent, or under new numbers. What the server may have lost of others' notes is
 * unconfirmed until a pull shows it again; recover.ts looks for what no pull has shown.
 */
import type { Entry, Recount } from '../../../../schema/types';
import { canonical } from '../../../../sync/journal/journal';
import { chained } from '../outbox/write';
import { within, type Work } from '../store/base';
import { publish } from '../store/changes';
import { can, doubt, isApart, isSent, park, renumber, requeue as requeued } from '../store/entryState';
import { keysOfEntry, refold } from '../store/refold';
import type { Cursor, EntryRow, Meta, Writer } from '../store/shape';

/**
 * Queues notes again as this phone wrote them: after a fork the server's copy may stand under an earlier number, and
 * bytes and chain are those of the later one.
 */
export async function requeue(work: Work, rows: readonly EntryRow[]): Promise<void> {
  for (const row of rows) {
    if (row.text === undefined || !can(row, 'requeue')) continue;
    const entry = asSent(row.text) ?? row.entry;
    await work.objectStore('entries').put(requeued({ ...row, entry, keys: keysOfEntry(entry) }));
  }
}

/** Undefined for bytes that a faulty build spoiled: what their writer meant then stays as it is. They are sent as they are, and held. */
function asSent(text: string): Entry | undefined {
  try {
    const entry = JSON.parse(text) as Entry;
    return canonical(entry) === text && typeof entry.id === 'string' ? entry : undefined;
  } catch {
    return undefined;
  }
}

/** Own notes that were sent, from a number on: those of later incarnations too. */
async function sentAfter(work: Work, device: string, inc: number, high: number): Promise<EntryRow[]> {
  const reach = IDBKeyRange.bound([device, inc, high + 1], [device, []]);
  return (await work.objectStore('entries').index('own').getAll(reach)).filter(isSent);
}

/**
 * The server has less of this phone than it has acknowledged: what comes after goes back into the queue.
 * @returns how many notes
 */
export async function requeueAfter(device: string, inc: number, high: number): Promise<number> {
  const rows = await within('readwrite', ['entries'], async (work) => {
    const lost = await sentAfter(work, device, inc, high);
    await requeue(work, lost);
    return lost;
  });
  if (rows.length > 0) publish({ queue: true });
  return rows.length;
}

/**
 * A revoked phone learns that the server was restored only by the epoch in its refusal. What is in quarantine is queued
 * again, and its newest note, since the answer to that push says the rest.
 */
export async function requeueNewest(device: string): Promise<void> {
  await within('readwrite', ['entries'], async (work) => {
    const entries = work.objectStore('entries');
    const newest = await entries.index('own').openCursor(IDBKeyRange.bound([device], [device, []]), 'prev');
    const aside = (await entries.index('state').getAll()).filter((row) => row.own?.[0] === device);
    await requeue(work, newest && isSent(newest.value) ? [...aside, newest.value] : aside);
  });
  publish({ queue: true });
}

/** The journal may be another than the one that was read: it is read again from its beginning, over what is here. */
export async function rereadJournal(): Promise<void> {
  await within('readwrite', ['entries', 'meta'], unconfirmAll);
}

export async function unconfirmAll(work: Work): Promise<void> {
  const entries = work.objectStore('entries');
  const sent = (await entries.getAll()).filter(isSent);
  // What the server did not merge has no place; only another push shows whether it is still there.
  await requeue(work, sent.filter(isApart));
  for (const row of sent) if (can(row, 'doubt')) await entries.put(doubt(row));
  const meta = work.objectStore('meta');
  const cursor = (await meta.get('cursor')) as Cursor | undefined;
  if (cursor) {
    const { proof: _proof, ...rest } = cursor;
    await meta.put({ ...rest, position: 0 }, 'cursor');
  }
  await meta.put({}, 'sums');
  await askToFindMissing(work);
}

/** Has the next pull that reaches the head look for what it did not show. */
export async function askToFindMissing(work: Work): Promise<void> {
  const meta = work.objectStore('meta');
  const before = (await meta.get('unconfirmed')) as Meta['unconfirmed'] | undefined;
  await meta.put({ missing: {}, returned: [], ...before }, 'unconfirmed');
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
    const waiting = [...(await entries.index('pending').getAll()), ...(await entries.index('state').getAll('parked'))];
    for (const row of waiting)
      if (row.entry.person !== writer.person) await entries.put({ ...park(row), keys: keysOfEntry(row.entry) });
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
  return renumber(row, chained(writer, entry));
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
