/** Takes notes out of their packs, in the transaction that changes their records: from then on they lie in rows, with a record of their own. */
import { textHash } from '../../../../../sync/fold/fold';
import { parseSum, subSum, sumHex } from '../../../../../sync/journal/journal';
import { unheard, type Work } from '../base';
import { recordSum } from '../folding';
import { madeOf, rowOf } from '../made';
import type { EntryRow, PackHead } from '../shape';
import { potsWithoutRow } from './script';
import { headsUnder, openPack, packedAmong, placesIn, take, takeFrom } from './packs';

// What the first scripts ask of packs comes with it.
export { areAllPaired, damagedPacks, isLost, isPacked, onDamagedPack, packedRecordsOfWalk } from './packs';

const POT = 'pot:';

/** Takes out what these records are made of. */
export async function takeOut(work: Work, keys: Iterable<string>): Promise<void> {
  const ids = [...keys].flatMap((key) => (key.startsWith(POT) ? [key.slice(POT.length)] : []));
  if (ids.length > 0) await putRows(work, await take(work, ids));
}

/**
 * Takes out what packs have of the records that a page of the journal changes. What comes once more becomes no row: it goes where the
 * page's notes go, and its record leaves the sum of all records until then.
 * @param rows in the order of the journal
 * @param areNew true where none of them comes once more
 */
export async function takeOutFor(work: Work, rows: readonly EntryRow[], areNew: boolean): Promise<void> {
  const keys = new Set(rows.flatMap((row) => row.keys));
  const own = new Set(rows.map(({ id }) => POT + id));
  const others = [...keys].filter((key) => !own.has(key));
  await takeOut(work, await potsWithoutRow(work, others));
  if (areNew) return;
  const again = await take(
    work,
    rows.map(({ id }) => id),
  );
  if (again.length === 0) return;
  // Of what lies twice the row counts, and its record stays in the sum.
  const there = await Promise.all(again.map(({ id }) => work.objectStore('records').getKey(POT + id)));
  let sum = parseSum(await recordSum(work));
  again.forEach((row, i) => {
    const made = there[i] === undefined ? madeOf(POT + row.id, [row]) : undefined;
    if (made?.record) sum = subSum(sum, textHash(made.text));
  });
  unheard(work.objectStore('meta').put(sumHex(sum), 'recordSum'));
}

/** Takes out all notes of a lot. */
export async function takeOutLot(work: Work, lot: string): Promise<void> {
  for (const head of await headsUnder(work, 'lots', lot))
    await takeOutWhere(work, head, 'entry.lot', (value) => value === lot);
}

/**
 * Takes out those notes of a pack of which a field says so.
 * @returns false where there is none, or the pack cannot be read: whoever found it by its head must not look for it again
 */
export async function takeOutWhere(
  work: Work,
  head: PackHead,
  path: string,
  is: (value: unknown) => boolean,
): Promise<boolean> {
  const pack = await openPack(work, head);
  if (!pack) return false;
  const out = new Set(head.out);
  const places = pack.cells(path).flatMap((value, at) => (!out.has(at) && is(value) ? [at] : []));
  if (places.length > 0) await putRows(work, takeFrom(work, head, pack, places));
  return places.length > 0;
}

/**
 * Takes out what the journal has not shown again of a pack, now that it was read to its head.
 * @param mark puts down that a note is missing
 * @returns false where the pack cannot be read
 */
export async function takeOutUnshown(work: Work, head: PackHead, mark: (row: EntryRow) => EntryRow): Promise<boolean> {
  const pack = await openPack(work, head);
  if (!pack) return false;
  const left = takeFrom(work, head, pack, placesIn(head));
  const shown = await packedAmong(
    work,
    left.map(({ id }) => id),
  );
  await putRows(work, left.filter(({ id }) => !shown.has(id)).map(mark));
  return true;
}

/** What has a row already is what its row says. */
async function putRows(work: Work, rows: readonly EntryRow[]): Promise<void> {
  const [entries, records] = [work.objectStore('entries'), work.objectStore('records')];
  const there = await Promise.all(rows.map(({ id }) => entries.getKey(id)));
  rows.forEach((row, i) => {
    if (there[i] !== undefined) return;
    unheard(entries.put(row));
    const made = madeOf(POT + row.id, [row]);
    if (!made?.record) return;
    const { record: _kept, ...kept } = rowOf(made.record);
    unheard(records.put({ ...kept, hash: sumHex(textHash(made.text)), text: made.text }));
  });
}
