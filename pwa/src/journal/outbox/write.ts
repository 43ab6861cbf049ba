/**
 * Saves notes. One user action is one entry (or, where it makes several things at once, several entries in one
 * transaction), and nothing is called saved before the transaction is complete. Sequence and chain are read and moved
 * inside the transaction, so two tabs can never fork them, and a kill leaves either the whole save or nothing.
 */
import { needs, version } from '../../../../schema/kinds';
import type { Entry, EntryBody, Kind, Stamped } from '../../../../schema/types';
import { canonical, chain, chainHex, parseChain } from '../../../../sync/journal/journal';
import { isFull, unheard, within, type Work } from '../store/base';
import { publish } from '../store/changes';
import { mono, randomId, session, wall } from '../store/device';
import { addToStash, clearStash, tapOf } from './stash';
import { queued } from '../store/entryState';
import { stamped } from '../store/made';
import { entriesOf, keysOfEntry, putFolded, recordSum, type Parts, type Refolded } from '../store/folding';
import type { EntryRow, Intent, Store, Writer } from '../store/shape';
import { takeOut } from '../store/packs/script';
import { askToStay } from '../store/storage';
import { wake } from '../worker/wake';

/** The note could not be saved. Kept says where it is now. */
export class NotSaved extends Error {
  override readonly name = 'NotSaved';
  readonly code: 'full' | 'broken' | 'unpaired';
  readonly kept: 'stash' | 'memory' | 'nowhere';

  constructor(code: NotSaved['code'], kept: NotSaved['kept'], cause?: unknown) {
    super(`the note is not saved (${code}); ${remedies[code]}`, { cause });
    this.code = code;
    this.kept = kept;
  }
}

const remedies = {
  full: 'free some space on the phone, then save again',
  broken: 'close the app and open it again',
  unpaired: 'pair the phone first',
};

/** Saves one note; resolves when it is on the disk. */
export async function note<K extends Kind>(
  kind: K,
  body: EntryBody[K],
  where: { lot?: string; bed?: string; id?: string } = {},
): Promise<Stamped> {
  const [saved] = await save([intent(kind, body, where)]);
  if (!saved) throw new NotSaved('broken', 'nowhere');
  return saved;
}

/** Makes a note ready to be saved; lot and bed of its envelope follow from its body where the kind says so. */
export function intent<K extends Kind>(
  kind: K,
  body: EntryBody[K],
  where: { lot?: string; bed?: string; id?: string } = {},
): Intent<K> {
  const made: Intent<K> = { id: where.id ?? randomId(), kind, body };
  const lot = where.lot ?? at(body, needs[kind].lot.from);
  const bed = where.bed ?? at(body, needs[kind].bed.from);
  if (lot) made.lot = lot;
  if (bed) made.bed = bed;
  return made;
}

/**
 * Saves several notes, all or none, and with them whatever `also` does to the stores. `committed` is called when they are
 * on the disk and before any subscriber is notified: what a screen changes there and what it is then notified of is drawn at once.
 * @throws NotSaved, after putting the notes into the stash where that was possible
 */
export async function save(
  notes: readonly Intent[],
  also: (work: Work) => Promise<void> = async () => undefined,
  committed: () => void = () => undefined,
): Promise<Stamped[]> {
  const { rows, folded } = await written(notes, also);
  clearStash(notes.map((each) => each.id));
  committed();
  publish({ ...folded, queue: true });
  void askToStay();
  wake('saved');
  return rows.map(stamped);
}

async function written(
  notes: readonly Intent[],
  also: (work: Work) => Promise<void>,
): Promise<{ rows: EntryRow[]; folded: Refolded }> {
  const of: Store[] = ['entries', 'records', 'meta', 'drafts'];
  try {
    return await within('readwrite', of, async (work) => {
      const before = await readBefore(work, notes);
      const rows = append(work, notes, before);
      const folded = putFolded(work, withNew(before, rows), before.sum);
      await also(work);
      return { rows, folded };
    });
  } catch (error) {
    throw refused(notes, error);
  }
}

function refused(notes: readonly Intent[], error: unknown): NotSaved {
  if (error instanceof NotSaved) return error;
  return new NotSaved(isFull(error) ? 'full' : 'broken', addToStash(notes) ? 'stash' : 'memory', error);
}

/** What a save has to know. Asked for in one go: each turn between two questions is felt under a thumb. */
interface Before {
  writer: Writer | undefined;
  sum: string;
  /** By note: its entry, where an earlier try did arrive. */
  there: readonly (EntryRow | undefined)[];
  parts: ReadonlyMap<string, Parts>;
}

async function readBefore(work: Work, notes: readonly Intent[]): Promise<Before> {
  const entries = work.objectStore('entries');
  const records = work.objectStore('records');
  const keys = new Set(notes.flatMap((each) => keysOfEntry(each as unknown as Entry)));
  // What is new lies in no pack.
  const own = new Set(notes.map(({ id }) => `pot:${id}`));
  await takeOut(
    work,
    [...keys].filter((key) => !own.has(key)),
  );
  const part = async (key: string): Promise<[string, Parts]> => {
    const [rows, old] = await Promise.all([entriesOf(entries.index('keys'), key), records.get(key)]);
    return [key, { rows, old }];
  };
  const [writer, sum, there, parts] = await Promise.all([
    work.objectStore('meta').get('writer') as Promise<Writer | undefined>,
    recordSum(work),
    Promise.all(notes.map((each) => entries.get(each.id))),
    Promise.all([...keys].map(part)),
  ]);
  return { writer, sum, there, parts: new Map(parts) };
}

function append(work: Work, notes: readonly Intent[], { writer, there }: Before): EntryRow[] {
  if (!writer) throw new NotSaved('unpaired', 'nowhere');
  const rows = notes.map((each, i) => {
    // A repeated save of the same intent, after an answer that never came, finds its entry already here.
    const had = there[i];
    if (had) return had;
    const row = chained(writer, entryOf(writer, each));
    unheard(work.objectStore('entries').add(row));
    return row;
  });
  unheard(work.objectStore('meta').put(writer, 'writer'));
  return rows;
}

function withNew({ parts, there }: Before, rows: readonly EntryRow[]): Map<string, Parts> {
  const fresh = rows.filter((_, i) => !there[i]);
  const all = [...parts].map(([key, { rows: had, old }]): [string, Parts] => [
    key,
    { rows: [...had, ...fresh.filter((row) => row.keys.includes(key))], old },
  ]);
  return new Map(all);
}

function entryOf(writer: Writer, each: Intent): Entry {
  const tap = tapOf(each);
  const entry: Entry = {
    id: each.id,
    device: writer.device,
    inc: writer.inc,
    seq: writer.seq + 1,
    v: version,
    kind: each.kind,
    person: writer.person,
    wall: tap?.wall ?? wall(),
    session: tap?.session ?? session,
    mono: tap?.mono ?? mono(),
    // A server time that came after the tap is not an earliest time for it; nothing is known of before.
    floor: tap ? 0 : writer.floor,
    body: each.body,
  };
  if (each.lot) entry.lot = each.lot;
  if (each.bed) entry.bed = each.bed;
  return entry;
}

/** Gives an entry its bytes and its place in the chain, and moves the writer past it. */
export function chained(writer: Writer, entry: Entry): EntryRow {
  const text = canonical(entry);
  writer.seq = entry.seq;
  writer.chain = chainHex(chain(parseChain(writer.chain), text));
  // Read back from its own bytes: what is folded here is exactly what the others will get.
  const kept = JSON.parse(text) as Entry;
  return queued({
    id: kept.id,
    entry: kept,
    keys: keysOfEntry(kept),
    text,
    chain: writer.chain,
    own: [kept.device, kept.inc, kept.seq],
  });
}

function at(body: unknown, path: string): string | undefined {
  let found: unknown = body;
  for (const part of path === '' ? [] : path.split('.')) {
    found = typeof found === 'object' && found !== null ? (found as Record<string, unknown>)[part] : undefined;
  }
  return typeof found === 'string' && found !== '' ? found : undefined;
}
