/** Sheets that were brought in, and what would be lost if one were struck out again. */
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';
import type { Import, Note, Stamped } from '../../../../schema/types';
import { facts } from '../../../../sync/fold/keys';
import { intent } from '../outbox/write';
import { base, within } from '../store/base';
import { randomId } from '../store/device';
import { allUnder } from '../store/pages';
import { stamped } from '../store/made';
import { areAllPaired, damagedPacks, isLost, packedOfLot } from '../store/packs/packs';
import { isRead, type Cursor, type Intent } from '../store/shape';
import { decodeRows } from '../recovery/damaged';
import { repairPacks } from '../recovery/packs';
import { everySpanOf } from './input';
import { beds } from './registers';
import { walksOf } from './walks';

/** One sheet that was brought in and is not struck out. */
export interface Imported {
  /** The entry of the note that says so. */
  entry: string;
  words: string;
  /** When, ms since 1970. */
  at: number;
  person: string;
  of: Import;
}

/** The id of the nth note of a sheet: as random as the sheet's own, and known from it. */
function importedId(of: string, n: number): string {
  return bytesToHex(sha256(new TextEncoder().encode(`${of} ${n}`))).slice(0, 32);
}

/** The notes of a sheet under ids by which they are found again, and the one that names it. */
export function asImport(words: string, intents: readonly Intent[]): Intent[] {
  const id = randomId();
  const notes = intents.map((each, n) => ({ ...each, id: importedId(id, n) }));
  return [...notes, intent('note', { words, import: { id, notes: notes.length } })];
}

/** The newest first. */
export async function importsHere(): Promise<Imported[]> {
  const index = (await base()).transaction('records').store.index('fact');
  const rows = decodeRows(await allUnder(index, 'note', ({ key }) => key));
  return rows
    .flatMap(({ key, record: { fact } }) => {
      const note = fact?.body as Note | undefined;
      if (!fact || fact.voided || !note?.import) return [];
      const { person, stamp } = fact.by;
      return [{ entry: key.slice('fact:'.length), words: note.words, at: stamp.at, person, of: note.import }];
    })
    .sort((a, b) => b.at - a.at);
}

/**
 * The ids of what was noted of beds, lots and houses in the body of a note: of a bed, of all beds that a product was put on, of a lot among
 * others. None of it has a key or a lot of theirs.
 */
async function factsNaming(things: ReadonlySet<string>): Promise<string[]> {
  const index = (await base()).transaction('records').store.index('fact');
  const found: string[] = [];
  for (const kind of facts) {
    for (const { key, record } of decodeRows(await allUnder(index, kind, (row) => row.key))) {
      const { fact } = record;
      const named = JSON.stringify([fact?.body]).match(/\b[0-9a-f]{32}\b/g) ?? [];
      if (fact && !fact.voided && named.some((id) => things.has(id))) found.push(key.slice('fact:'.length));
    }
  }
  return found;
}

/**
 * The ids of the notes of these lots that lie in packs. Undefined while notes are missing here, as before all have arrived or after a pack was
 * lost, which is seen to.
 */
async function packedIn(lots: Iterable<string>): Promise<string[] | undefined> {
  const found = await within('readonly', ['entries', 'meta'], async (work) => {
    const meta = work.objectStore('meta');
    const [partial, cursor] = await Promise.all([meta.get('partial'), meta.get('cursor')]);
    if (partial || !isRead(cursor as Cursor | undefined) || !(await areAllPaired(work))) return undefined;
    const ids: string[] = [];
    for (const lot of lots) for (const { id } of await packedOfLot(work, lot)) ids.push(id);
    return ids;
  }).catch((error: unknown) => {
    if (!isLost(error)) throw error;
  });
  if (found && damagedPacks().length === 0) return found;
  // Where it fails, as on a device that is full, the next try finds the pack again.
  await repairPacks().catch(() => undefined);
  return undefined;
}

/**
 * The notes of a sheet and the one that names it, as they lie here, and the ids of what was noted since about what they began.
 * @returns undefined while notes are missing here, so that nobody can say what was noted since
 */
export async function importToUndo({
  entry,
  of,
  at,
}: Imported): Promise<{ notes: Stamped[]; since: string[] } | undefined> {
  const ids = new Set([...Array.from({ length: of.notes }, (_, n) => importedId(of.id, n)), entry]);
  const { store } = (await base()).transaction('entries');
  const rows = (await Promise.all([...ids].map((id) => store.get(id)))).filter((row) => row !== undefined);
  const since = new Set<string>();
  const keys = new Set(rows.flatMap((row) => row.keys));
  // Only of a lot that it brought in is every other note one that was made since.
  const lots = new Set(rows.flatMap(({ entry: one }) => (one.kind === 'lot' ? (one.lot ?? []) : [])));
  const found = await Promise.all([
    ...[...keys].map((key) => store.index('keys').getAllKeys(key)),
    ...[...lots].map((lot) => store.index('lot').getAllKeys(lot)),
  ]);
  for (const id of found.flat()) if (!ids.has(id)) since.add(id);
  const packed = await packedIn(lots);
  if (!packed) return undefined;
  for (const id of packed) since.add(id);
  const own = new Set(rows.flatMap((row) => (row.entry.body as { of?: string }).of ?? []));
  for (const fact of await factsNaming(own)) if (!ids.has(fact)) since.add(fact);
  for (const { entry: one } of rows) {
    const thing = (one.body as { of?: string }).of ?? '';
    if (one.kind === 'house')
      for (const bed of beds.value.values()) if (bed.house === thing && !own.has(bed.id)) since.add(bed.id);
    if (one.kind === 'span') {
      const { bed } = one.body as { bed: string };
      for (const walk of walksOf(bed)) if (walk.at > at) since.add(walk.id);
    }
    if (one.kind !== 'bed') continue;
    for (const walk of walksOf(thing)) since.add(walk.id);
    for (const span of everySpanOf(thing)) if (!own.has(span.id)) since.add(span.id);
  }
  return { notes: rows.map(stamped), since: [...since] };
}
