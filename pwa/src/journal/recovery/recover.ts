/**
 * What the phone does when the server and it do not stand where the phone thinks, and about what a server that was set back has
 * lost. Nothing is ever thrown away. One's own notes are sent again; others' are waited for, since their phones send them again by
 * themselves, and given back in their writers' names when nobody has: the phone that wrote them may be gone.
 */
import type { Problem, Receipt } from '../../../../schema/types';
import { canonical } from '../../../../sync/journal/journal';
import { addTo, proofOf } from '../inbox/pull';
import { MAX_BYTES, MAX_ENTRIES } from '../outbox/push';
import { within, type Work } from '../store/base';
import { publish } from '../store/changes';
import { doubt, giveBack, isSent } from '../store/entryState';
import { refold, type Refolded } from '../store/refold';
import type { Cursor, EntryRow, LotSum, Meta, Writer } from '../store/shape';
import { handBack, incarnation, type Refusal } from '../wire';
import { askToFindMissing, moveAll, requeue, requeueAfter, requeueNewest, takeIncarnation } from './requeue';

/** Repairs what a refusal names. @returns false when it is nothing that the phone can repair by itself */
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
    await requeue(work, rows.filter(isSent));
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
    // What has no position, as what is in quarantine, may be lost all the same.
    const placeless = (row: EntryRow) => row.own !== undefined && row.position === 0 && isSent(row);
    const lost = all.filter((row) => row.position > forkedAt || placeless(row));
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
    for (const row of lost) if (row.own === undefined) await work.objectStore('entries').put(doubt(row));
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

/** Computes the lot sums again. */
async function recount(work: Work, rows: readonly EntryRow[]): Promise<void> {
  const sums: Record<string, LotSum> = {};
  for (const row of rows) addTo(sums, row);
  await work.objectStore('meta').put(sums, 'sums');
}

/** How long others have to send again what they wrote, by the server's clock. */
const OTHERS_HAVE_MS = 10 * 60_000;

interface Found {
  /** True when own notes were queued again, or when there is more to read. */
  again: boolean;
  /** Others' notes that have been missing for long enough. */
  due: EntryRow[];
  folded: Refolded;
}

/**
 * Looks, at the head, for what no pull has shown, and does about it what can be done now.
 * @returns true when there is more to send or to pull
 * @throws Refusal
 */
export async function settleMissing(cursor: Cursor): Promise<boolean> {
  const found = await within('readwrite', ['entries', 'records', 'meta'], (work) => findMissing(work, cursor));
  if (!found) return false;
  publish({ ...found.folded, queue: found.again });
  const given = fitting(found.due);
  if (given.length === 0) return found.again;
  const refused = await handBack(
    cursor.epoch,
    given.map(({ text }) => text),
    given.map(({ row }) => receiptOf(row)),
  );
  const kept = given.map(({ row }) => row.id).filter((id) => !refused.includes(id));
  await within('readwrite', ['meta'], (work) => keepReturned(work, kept));
  // What the server has no room for is offered again another time.
  return kept.length > 0 || found.again;
}

/** What shows that the server once gave the note its place. Of an earlier build there is none: then a supervisor decides. */
function receiptOf({ stamp, receipt: [position, receipt] = [0, ''] }: EntryRow): Receipt {
  return { position, stamp, receipt };
}

async function findMissing(work: Work, at: Cursor): Promise<Found | undefined> {
  const meta = work.objectStore('meta');
  const entries = work.objectStore('entries');
  const unconfirmed = (await meta.get('unconfirmed')) as Meta['unconfirmed'] | undefined;
  const writer = (await meta.get('writer')) as Writer | undefined;
  if (!unconfirmed || !writer) return undefined;
  const cursor = (await meta.get('cursor')) as Cursor | undefined;
  // Made unconfirmed since that page came: first it is to be read to the head.
  if (cursor?.epoch !== at.epoch || cursor.position !== at.position)
    return { again: true, due: [], folded: { rows: [], gone: [], damaged: [], repaired: 0 } };
  const gone = await entries.index('state').getAll('unconfirmed');
  const own = gone.filter((row) => row.own);
  await requeue(
    work,
    own.filter((row) => row.entry.device === writer.device),
  );
  await moveAll(
    work,
    writer,
    own.filter((row) => row.entry.device !== writer.device),
  );
  // What was given back and is still not shown is in quarantine: it is in no record until somebody has decided.
  const kept = gone.filter((row) => unconfirmed.returned.includes(row.id));
  for (const row of kept) await entries.put(giveBack(row));
  const others = gone.filter((row) => !row.own && !unconfirmed.returned.includes(row.id));
  const missing = Object.fromEntries(others.map(({ id }) => [id, unconfirmed.missing[id] ?? writer.floor]));
  if (others.length > 0) await meta.put({ missing, returned: [] }, 'unconfirmed');
  else await meta.delete('unconfirmed');
  return {
    again: own.length > 0,
    due: others.filter(({ id }) => writer.floor - (missing[id] ?? writer.floor) >= OTHERS_HAVE_MS),
    folded: await refold(
      work,
      [...own, ...kept].flatMap((row) => row.keys),
    ),
  };
}

/** As many, with their bytes, as fit into one request; the others go with the next. */
function fitting(rows: readonly EntryRow[]): { row: EntryRow; text: string }[] {
  const given: { row: EntryRow; text: string }[] = [];
  let bytes = 0;
  for (const row of rows.toSorted((a, b) => a.entry.inc - b.entry.inc || a.entry.seq - b.entry.seq)) {
    const text = canonical(row.entry);
    bytes += new TextEncoder().encode(text).length;
    if (given.length === MAX_ENTRIES || (given.length > 0 && bytes > MAX_BYTES)) break;
    given.push({ row, text });
  }
  return given;
}

async function keepReturned(work: Work, ids: readonly string[]): Promise<void> {
  const meta = work.objectStore('meta');
  const unconfirmed = (await meta.get('unconfirmed')) as Meta['unconfirmed'] | undefined;
  if (unconfirmed) await meta.put({ ...unconfirmed, returned: [...unconfirmed.returned, ...ids] }, 'unconfirmed');
}
