/** Gives notes that the server does not have new numbers and a new chain; their ids stay. */
import type { Entry, Recount } from '../../../../schema/types';
import { chained } from '../outbox/write';
import type { Work } from '../store/base';
import { park, renumber } from '../store/entryState';
import { pageOfPending, pageUnder } from '../store/pages';
import { PAGE } from '../store/pageSize';
import { keysOfEntry, type Refolded } from '../store/folding';
import { refold } from '../store/refold';
import type { EntryRow, Writer } from '../store/shape';

/**
 * Moves the outbox to a writer's numbers, and parks what is another person's. Read in pages, written in one transaction: a recount that is
 * saved between two pages would name changes by numbers that they are about to lose, and count them twice. It is the outbox alone, not the
 * journal.
 */
export async function movePending(work: Work, to: (writer: Writer) => Writer): Promise<Refolded> {
  const meta = work.objectStore('meta');
  const entries = work.objectStore('entries');
  const old = (await meta.get('writer')) as Writer | undefined;
  if (!old) return refold(work, []);
  const writer = to(old);
  const move = mover(work, writer);
  const keys = new Set<string>();
  const isMoved = ({ entry }: EntryRow) => entry.device === writer.device && entry.inc === writer.inc;
  for (let after: readonly number[] | undefined = []; after;) {
    const rows: EntryRow[] = await pageOfPending(entries.index('pending'), after);
    after = rows.length === PAGE ? rows[PAGE - 1]?.pending : undefined;
    // One that has its new number already may come by again, behind the others.
    const waiting = rows.filter((row) => !isMoved(row));
    for (const row of waiting) row.keys.forEach((key) => keys.add(key));
    for (const row of waiting)
      if (row.entry.person !== writer.person) await entries.put({ ...park(row), keys: keysOfEntry(row.entry) });
    await move(waiting.filter((row) => row.entry.person === writer.person));
  }
  for (let after: string | undefined = ''; after !== undefined;) {
    const rows: EntryRow[] = await pageUnder(entries.index('state'), 'parked', after);
    after = rows.length === PAGE ? rows[PAGE - 1]?.id : undefined;
    const mine = rows.filter((row) => row.entry.person === writer.person);
    for (const row of mine) row.keys.forEach((key) => keys.add(key));
    await move(mine);
  }
  await meta.put(writer, 'writer');
  return refold(work, keys);
}

/**
 * Sends lost notes of an earlier pairing of this phone under the present one, since nobody else may hold them. Read in pages, in one
 * transaction, for the same reason as movePending; of other devices a phone has written few notes.
 * @returns the keys of their records
 */
export async function moveLost(work: Work, writer: Writer, isLost: (row: EntryRow) => boolean): Promise<Set<string>> {
  const own = work.objectStore('entries').index('own');
  const move = mover(work, writer);
  const keys = new Set<string>();
  for (let after: readonly IDBValidKey[] | undefined = []; after;) {
    const rows: EntryRow[] = await own.getAll(IDBKeyRange.lowerBound(after, true), PAGE);
    after = rows.length === PAGE ? rows[PAGE - 1]?.own : undefined;
    const lost = rows.filter((row) => row.entry.device !== writer.device && isLost(row));
    for (const row of lost) row.keys.forEach((key) => keys.add(key));
    await move(lost);
  }
  await work.objectStore('meta').put(writer, 'writer');
  return keys;
}

/** Numbers that follow one another and were changed for others that do: as a rule one run for all the notes of a writer. */
interface Run {
  from: string;
  fromSeq: number;
  to: string;
  toSeq: number;
  count: number;
}

/** Moves notes, page after page, to the writer's next numbers. */
function mover(work: Work, writer: Writer): (rows: readonly EntryRow[]) => Promise<void> {
  const runs: Run[] = [];
  return async (rows) => {
    for (const row of rows) await work.objectStore('entries').put(moved(row, writer, runs));
  };
}

function moved(row: EntryRow, writer: Writer, runs: Run[]): EntryRow {
  const was = row.entry;
  const entry: Entry = { ...was, device: writer.device, inc: writer.inc, seq: writer.seq + 1 };
  if (entry.kind === 'recount') entry.body = withBasis(entry.body as Recount, runs);
  const [run, from, to] = [runs[runs.length - 1], nameOf(was), nameOf(entry)];
  const follows = run?.from === from && run.to === to && run.fromSeq + run.count === was.seq;
  if (follows && run.toSeq + run.count === entry.seq) run.count++;
  else runs.push({ from, fromSeq: was.seq, to, toSeq: entry.seq, count: 1 });
  return renumber(row, chained(writer, entry));
}

function nameOf(entry: Entry): string {
  return `${entry.device}.${entry.inc}`;
}

/** A recount's basis names changes by their writers' numbers, so it follows the changes to their new ones. */
function withBasis(body: Recount, runs: readonly Run[]): Recount {
  const basis = { ...body.basis };
  for (const { from, fromSeq, to, toSeq, count } of runs) {
    const covered = body.basis[from];
    if (covered === undefined || covered < fromSeq) continue;
    basis[to] = Math.max(basis[to] ?? 0, toSeq + Math.min(covered - fromSeq, count - 1));
    // What stays under the old name is only what was acknowledged there.
    basis[from] = Math.min(basis[from] ?? 0, fromSeq - 1);
  }
  return { ...body, basis };
}
