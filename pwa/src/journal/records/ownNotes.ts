/** The notes written on this phone, what has become of each, and how they are struck out and taken back. */
import { supervisorKinds } from '../../../../schema/kinds';
import type { Pot, Void, Voided } from '../../../../schema/types';
import { compare } from '../../../../sync/fold/fold';
import { Voids } from '../../../../sync/fold/void';
import { base } from '../store/base';
import { decodeRows } from '../recovery/damaged';
import type { PotRow } from './read';
import { counts } from '../store/entryState';
import { stamped } from '../store/made';
import { entriesOf } from '../store/folding';
import type { EntryRow } from '../store/shape';
import { voidEntries, unvoid, type VoidTarget } from '../outbox/voids';

export interface OwnNote extends EntryRow {
  /** Set where it was struck out: by whom, when and why. */
  voided?: Voided;
  /** The pot as it stands now, where the note is about one. */
  pot?: PotRow;
}

/** The newest notes written on this phone, newest first. */
export async function ownNotes(device: string, most: number): Promise<OwnNote[]> {
  const range = IDBKeyRange.bound([device], [device, []]);
  let cursor = await (await base()).transaction('entries').store.index('own').openCursor(range, 'prev');
  const rows: EntryRow[] = [];
  while (cursor && rows.length < most) {
    rows.push(cursor.value);
    cursor = await cursor.continue();
  }
  return Promise.all(rows.map(withFate));
}

async function withFate(row: EntryRow): Promise<OwnNote> {
  const { kind } = row.entry;
  if (kind === 'observation' || kind === 'correction') {
    const pot = await potOf(row.keys[0] ?? '');
    return pot ? { ...row, pot, ...(pot.voided ? { voided: pot.voided } : {}) } : row;
  }
  const voided = await voidOf(row);
  return voided ? { ...row, voided } : row;
}

async function potOf(key: string): Promise<PotRow | undefined> {
  const kept = await (await base()).get('records', key);
  const pot: Pot | undefined = kept && decodeRows([kept])[0]?.record.pot;
  return pot && { ...pot, id: key.slice('pot:'.length) };
}

/** The void of a note, found among the entries of its record as the fold finds it. */
async function voidOf(row: EntryRow): Promise<Voided | undefined> {
  const [key] = row.keys;
  if (key === undefined) return undefined;
  const about = await entriesOf((await base()).transaction('entries').store.index('keys'), key);
  const set = about.filter(counts).map(stamped).sort(compare);
  return new Voids(set).of([stamped(row)]);
}

/** Ids of what one form saves differ only in their last two digits. */
const SHARED = 30;

/** All notes that were written by one Save with this one, itself too, oldest first, without those that cannot be struck out. */
export async function togetherWith(note: OwnNote): Promise<OwnNote[]> {
  const shared = note.id.slice(0, SHARED);
  const rows = await (await base()).getAll('entries', IDBKeyRange.bound(`${shared}00`, `${shared}ff`), 256);
  const own = rows.filter((row) => row.own && canBeVoided(row)).sort((a, b) => a.entry.seq - b.entry.seq);
  return Promise.all(own.map(withFate));
}

/** Struck out at the desk only: what a scout's phone may not strike out, and what is itself a striking out. */
const supervisorsOnly: readonly string[] = [...supervisorKinds, 'round', 'task', 'void', 'unvoid'];

/** True for a note that a void takes out of the records; one that the supervisor left out is in none. */
export function canBeVoided(row: EntryRow): boolean {
  return row.keys.length > 0 && counts(row) && !supervisorsOnly.includes(row.entry.kind);
}

/** The void of each, in one save. @returns what takes all of it back @throws NotSaved */
export function voidNotes(notes: readonly OwnNote[], why: Void['why']): Promise<() => Promise<void>> {
  return voidEntries(
    notes.map((note) => named(note, note.pot?.by.entry ?? note.id)),
    why,
  );
}

/** Takes back what struck these notes out. @throws NotSaved */
export function unvoidNotes(notes: readonly OwnNote[]): Promise<void> {
  return unvoid(notes.flatMap((note) => (note.voided ? [named(note, note.voided.by.entry)] : [])));
}

function named({ keys, entry: { lot, bed } }: OwnNote, names: string): VoidTarget {
  return { names, records: keys, place: { ...(lot ? { lot } : {}), ...(bed ? { bed } : {}) } };
}
