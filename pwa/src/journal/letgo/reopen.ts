/**
 * A lot that is alive again, that now stands in one of this phone's houses, or that somebody asked for, comes back: all its notes are
 * asked of the server, and those that are not here must have exactly the count and the sum of those that were let go. That proves that
 * they are the same notes.
 */
import { isAllOf, received } from '../inbox/pull';
import { unheard, within, type Work } from '../store/base';
import { publish, subscribe } from '../store/changes';
import { forgetBriefs, type Refolded } from '../store/folding';
import { refold } from '../store/refold';
import { packedOfLot } from '../store/packs/packs';
import type { Cursor, EntryRow, Writer } from '../store/shape';
import type { Received } from '../wire';
import { allOfLot } from './allOfLot';
import { carriedOf } from './carried';
import { unwantedLots } from './closed';
import { isBack, mapOf } from './gone';

/**
 * Lots that were asked for and did not come. How often the server did not give them, or not as they once passed, which the digest says too;
 * and how many rounds of syncing each waits for that: none, 1, 3, 7 and so on.
 */
const waiting = new Map<string, { tries: number; rounds: number }>();
/** The most rounds that a lot waits. */
const MOST_ROUNDS = 63;

/**
 * True when a lot may be wanted that was not when it was last looked for: only a change of its own record, a stretch, a bed or a ledger does
 * that, or other houses, and to read all of these after each note would hold up the next tap.
 */
let mayBeWanted = true;
const deciding = ['lot', 'span', 'stock', 'bed'];
subscribe(({ rows }) => {
  if (rows.some(({ kind }) => deciding.includes(kind))) mayBeWanted = true;
});
/** The houses for which it was last looked. */
let houses = '';

/**
 * Brings back every lot of which notes were let go and that is wanted here.
 * @param between called after each: a house has many, and a note should not wait for the last @throws Refusal
 */
export async function reopenWanted(cursor: Cursor, between: () => Promise<void>): Promise<void> {
  const all = await wanted();
  for (const lot of waiting.keys()) if (!all.includes(lot)) waiting.delete(lot);
  // One that was not answered holds up the others no second time.
  const lots = all.filter(isItsTurn).sort((a, b) => Number(waiting.has(a)) - Number(waiting.has(b)));
  // Until all of them are here, they are looked for again.
  mayBeWanted = lots.length > 0;
  for (const lot of lots) {
    const tries = waiting.get(lot)?.tries ?? 0;
    waiting.set(lot, { tries, rounds: 0 });
    const items = await allOfLot(lot, cursor);
    const came =
      items &&
      (await within('readwrite', ['entries', 'records', 'meta', 'briefs'], (work) =>
        takeBack(work, lot, items, cursor),
      ));
    if (came === undefined || came === 'unproven') {
      waiting.set(lot, { tries: tries + 1, rounds: Math.min(2 ** tries - 1, MOST_ROUNDS) });
    } else {
      waiting.delete(lot);
      if (came !== 'moved on') publish({ ...came, queue: true, away: true });
    }
    await between();
  }
}

function isItsTurn(lot: string): boolean {
  const left = waiting.get(lot);
  if (!left || left.rounds === 0) return true;
  left.rounds--;
  return false;
}

/** Those that are asked for, and those without which this phone may not be any more. */
async function wanted(): Promise<string[]> {
  return within('readonly', ['records', 'meta'], async (work) => {
    const gone = [...(await mapOf(work, 'gone')).keys()];
    if (gone.length === 0) return [];
    const writer = (await work.objectStore('meta').get('writer')) as Writer | undefined;
    const kept = await mapOf(work, 'kept');
    const now = JSON.stringify(await carriedOf(work));
    const unwanted = mayBeWanted || now !== houses ? await unwantedLots(work) : undefined;
    houses = now;
    const isWanted = (lot: string) =>
      unwanted ? !unwanted.closed.has(lot) && !unwanted.away.has(lot) : waiting.has(lot);
    return gone.filter((lot) => isWanted(lot) || (kept.get(lot) ?? 0) > (writer?.floor ?? 0));
  });
}

/** Moved on: the journal has, meanwhile, and the lot is asked for again in the next round. */
async function takeBack(
  work: Work,
  lot: string,
  items: readonly Received[],
  { epoch, position }: Cursor,
): Promise<Refolded | 'unproven' | 'moved on'> {
  const [entries, meta] = [work.objectStore('entries'), work.objectStore('meta')];
  const now = (await meta.get('cursor')) as Cursor | undefined;
  const gone = await mapOf(work, 'gone');
  const part = gone.get(lot);
  if (now?.epoch !== epoch || now.position !== position || !part) return 'moved on';
  const rows = items.map((item) => received(item, undefined));
  const absent: EntryRow[] = [];
  const packed = new Set((await packedOfLot(work, lot)).map(({ id }) => id));
  for (const row of rows) {
    if (!packed.has(row.id) && (await entries.getKey(row.id)) === undefined) absent.push(row);
  }
  if (!isAllOf(lot, part, absent)) return 'unproven';
  for (const row of absent) unheard(entries.put(row));
  await isBack(work, gone, lot);
  const owed = await mapOf(work, 'owed');
  const keys = [...new Set(absent.flatMap((row) => row.keys))];
  for (const key of keys) owed.delete(key);
  unheard(meta.put(owed, 'owed'));
  const folded = await refold(work, keys);
  forgetBriefs(work, folded);
  return folded;
}
