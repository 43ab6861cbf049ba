/**
 * Where a digest differs in some lots, these alone are read again from the server, each in one transaction, and only with the proof that
 * what came is all that the server has of the lot. A phone that is closed between two lots sends a digest at its next start, which
 * names those that are left: so no mark of its own is needed.
 */
import type { DigestAnswer, LotDigest } from '../../../../schema/types';
import { canonical } from '../../../../sync/journal/journal';
import { packPage } from '../inbox/packPage';
import { isAllOf, received } from '../inbox/pull';
import { allOfLot } from '../letgo/allOfLot';
import { isBack, mapOf } from '../letgo/gone';
import { isAbsent, owe } from '../letgo/owed';
import { within, type Work } from '../store/base';
import { publish } from '../store/changes';
import { stateOf } from '../store/entryState';
import { hashOf } from '../store/made';
import { takeOut, takeOutLot } from '../store/packs/takeOut';
import { allUnder } from '../store/pages';
import { forgetBriefs, type Refolded } from '../store/folding';
import { refold } from '../store/refold';
import type { Cursor, EntryRow, LotSum, RecordRow } from '../store/shape';
import type { Received } from '../wire';
import { repairRecords } from './records';
import { countTry, isLeft, MOST_TRIES, type Tries } from './tries';

/**
 * Puts right what a digest names, lot by lot.
 * @param between called after each lot: a note that is saved meanwhile should not wait for the last of them
 * @returns undefined when something was tried, and it is to be compared again; else what only reading the whole journal again can
 * put right: lots that stay different, what belongs to no lot, and more lots than an answer names
 * @throws Refusal where another request would meet the same
 */
export async function repairLots(
  cursor: Cursor,
  { differ = [], lots = [], more = false }: DigestAnswer,
  tries: Tries,
  between: () => Promise<void>,
): Promise<readonly string[] | undefined> {
  if (more) return differ;
  if (differ.length === 0) return repairRecords(cursor, tries.records, rereadLot);
  // A server of an earlier release does not say what it has of them.
  const proofs = lots.filter((lot) => isLot(lot) && differ.includes(lot.lot) && isLeft(tries.notes, lot.lot));
  const { last } = tries.notes;
  for (const { lot, count, sum } of proofs.sort((a, b) => Number(last.has(a.lot)) - Number(last.has(b.lot)))) {
    // One that is not answered holds up the others no second time.
    last.add(lot);
    const came = await rereadLot(cursor, lot, { count, sum });
    last.delete(lot);
    // Only the whole journal can show where its notes stand now.
    if (came === 'another journal') tries.notes.lots.set(lot, MOST_TRIES);
    // What was not answered, or is of another position, was no try.
    else if (came) countTry(tries.notes, lot);
    await between();
  }
  return proofs.length > 0 ? undefined : differ;
}

/** True for a lot that can be asked for: what belongs to none can not, nor what an earlier release merged under any name. */
function isLot({ lot }: LotDigest): boolean {
  return /^[0-9a-f]+$/.test(lot);
}

/** Reads one lot again. Unproven: nothing was changed; undefined when the phone has read on meanwhile, and nothing was changed either. */
async function rereadLot(
  cursor: Cursor,
  lot: string,
  has: LotSum,
): Promise<'done' | 'unproven' | 'another journal' | undefined> {
  const items = has.count === 0 ? [] : await allOfLot(lot, cursor);
  if (!items) return 'unproven';
  const made = await within('readwrite', ['entries', 'records', 'meta', 'briefs'], (work) =>
    putRight(work, lot, has, items, cursor),
  );
  if (typeof made === 'string' || !made) return made;
  publish({ ...made, queue: true, away: true });
  return 'done';
}

/**
 * Keeps a lot as the server has it. Another journal: the phone holds notes that the server does not have, or has in other places, so it was
 * set back without a sign, and other lots may hold what no sum shows. Nothing of one's own is at stake then: what a reading of the whole does
 * not show is sent again, or given back.
 */
async function putRight(
  work: Work,
  lot: string,
  has: LotSum,
  items: readonly Received[],
  { epoch, position }: Cursor,
): Promise<Refolded | 'unproven' | 'another journal' | undefined> {
  const [entries, meta] = [work.objectStore('entries'), work.objectStore('meta')];
  const now = (await meta.get('cursor')) as Cursor | undefined;
  if (now?.epoch !== epoch || now.position !== position || (await meta.get('recovery')) !== undefined) return undefined;
  const fresh = items.map((item) => received(item, undefined));
  if (!isAllOf(lot, has, fresh)) return 'unproven';
  await takeOutLot(work, lot);
  const held = await allUnder(entries.index('lot'), lot, (row) => row.id);
  const ids = new Set(fresh.map(({ id }) => id));
  if (held.some((row) => isPlaced(row) && row.position <= position && !ids.has(row.id))) return 'another journal';
  const gone = await mapOf(work, 'gone');
  const sums = ((await meta.get('sums')) as Record<string, LotSum> | undefined) ?? {};
  const away = gone.get(lot);
  if (away && has.count < away.count) return 'another journal';
  const all: EntryRow[] = [];
  const put: EntryRow[] = [];
  const keys = new Set<string>();
  await takeOut(
    work,
    fresh.flatMap((row) => row.keys),
  );
  for (const item of items) {
    const known = await entries.get((item.entry as EntryRow['entry']).id);
    const row = received(item, known);
    all.push(row);
    if (known && isPlaced(known) && known.position !== row.position) return 'another journal';
    if (known && isSame(known, row)) continue;
    put.push(row);
    for (const key of [...(known?.keys ?? []), ...row.keys]) keys.add(key);
  }
  // What may lie in packs goes there again: of a large lot, rows could fill a phone.
  all.sort((one, other) => one.position - other.position);
  const packed = await packPage(work, all, all.map(hashOf));
  for (const row of put) if (!packed.has(row.id)) await entries.put(row);
  const others = Object.entries(sums).filter(([id]) => id !== lot);
  await meta.put(Object.fromEntries(has.count > 0 ? [...others, [lot, has]] : others), 'sums');
  if (away) await isBack(work, gone, lot);
  const owed = await mapOf(work, 'owed');
  for (const key of keys) if (!(await isAbsent(work, key))) owed.delete(key);
  await meta.put(owed, 'owed');
  const late = await owe(work, put, false);
  const folded = await refold(
    work,
    [...keys].filter((key) => !late.has(key) && !packed.has(key.slice('pot:'.length))),
  );
  for (const { id } of put) folded.rows.push(...(packed.has(id) ? [packed.get(id) as RecordRow] : []));
  forgetBriefs(work, folded);
  return folded;
}

/** True for what a pull or an acknowledgement gave a place in the journal. */
function isPlaced(row: EntryRow): boolean {
  return stateOf(row) === 'merged' && row.position > 0;
}

function isSame(held: EntryRow, row: EntryRow): boolean {
  const of = ({ entry, stamp, keys }: EntryRow) => canonical({ entry, stamp, keys });
  try {
    return isPlaced(held) && of(held) === of(row);
  } catch {
    return false;
  }
}
