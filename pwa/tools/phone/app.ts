/**
 * What the simulator asks of a phone's app: the journal's own modules, started as the page and its sync worker start them, and two ways
 * in which an app of another build writes. This file is the entry of the one bundle that phones.mjs evaluates for each start.
 */
import { version } from '../../../schema/kinds';
import type { Entry } from '../../../schema/types';
import { textHash } from '../../../sync/fold/fold';
import { chain, chainHex, parseChain, sumHex } from '../../../sync/journal/journal';
import { within } from '../../src/journal/store/base';
import { keepHouse } from '../../src/journal/letgo/openHouse';
import { basisOf } from '../../src/journal/records/basis';
import { mono, session, wall } from '../../src/journal/store/device';
import { sync, syncStatus } from '../../src/journal/worker/sync';
import { stash } from '../../src/journal/outbox/stash';
import { pairThisPhone } from '../../src/journal/pairing';
import { refold } from '../../src/journal/store/refold';
import { madeOf, rowOf } from '../../src/journal/store/made';
import { Pack, type PackBody } from '../../src/journal/store/packs/columns';
import { rowsIn } from '../../src/journal/store/packs/packs';
import type { EntryRow, Intent, KeptRow, PackHead, Writer } from '../../src/journal/store/shape';
import { onWake, wake, type Reason } from '../../src/journal/worker/wake';
import { chained, NotSaved, save as saveNotes } from '../../src/journal/outbox/write';

/** A note as the simulator hands it over; basis asks for what a recount has to name. */
interface Wanted extends Intent {
  basis?: string;
  /** Written by a newer build. */
  v?: number;
  /** How a faulty app spoils its bytes. */
  spoil?: 'space' | 'fraction' | 'nothing';
}

/** Starts as the page does: sync is woken, and what could not be saved at the last start is saved now. */
export async function start(): Promise<void> {
  onWake((reason) => void sync(reason));
  if (stash.value.length > 0) await saveNotes(stash.value).catch(() => undefined);
  wake('start');
}

export function woken(reason: Reason): void {
  wake(reason);
}

/** Opens a house as Today's button does, or closes it again; a full phone says that it could not. */
export async function house(id: string, isOpen: boolean): Promise<void> {
  await keepHouse(id, isOpen).catch((error: unknown) => {
    if (!(error instanceof DOMException)) throw error;
  });
}

/** What sync is doing, or why it cannot. */
export function state(): { state: string; detail: string } {
  return { state: syncStatus.value.state, detail: syncStatus.value.detail };
}

/** @returns undefined when saved, else where the note is now */
export async function save(notes: readonly Wanted[]): Promise<{ code: string; kept: string } | undefined> {
  try {
    const ready = await Promise.all(notes.map(withBasis));
    const [first] = ready;
    if (first && (first.v !== undefined || first.spoil !== undefined)) await saveOther(first);
    else await saveNotes(ready);
    return undefined;
  } catch (error) {
    if (error instanceof NotSaved) return { code: error.code, kept: error.kept };
    if (error instanceof DOMException) return { code: error.name, kept: 'nowhere' };
    throw error;
  }
}

async function withBasis({ basis, ...note }: Wanted): Promise<Wanted> {
  if (basis === undefined) return note;
  return { ...note, body: { ...note.body, basis: await basisOf(basis) } as never };
}

/** As write.ts saves, but by a build that knows more than this one, or that writes bytes which no server can merge. */
async function saveOther({ v, spoil, ...note }: Wanted): Promise<void> {
  await within('readwrite', ['entries', 'records', 'meta'], async (work) => {
    const meta = work.objectStore('meta');
    const writer = (await meta.get('writer')) as Writer | undefined;
    if (!writer) throw new NotSaved('unpaired', 'nowhere');
    const before = writer.chain;
    const row = chained(writer, {
      ...note,
      device: writer.device,
      inc: writer.inc,
      seq: writer.seq + 1,
      v: v ?? version,
      person: writer.person,
      wall: wall(),
      session,
      mono: mono(),
      floor: writer.floor,
    } as Entry);
    row.text = spoiled(row.text ?? '', spoil);
    writer.chain = row.chain = chainHex(chain(parseChain(before), row.text));
    await work.objectStore('entries').add(row);
    await meta.put(writer, 'writer');
    return refold(work, row.keys);
  });
  wake('saved');
}

function spoiled(text: string, how: Wanted['spoil']): string {
  if (how === 'space') return text.replace('"buds":', '"buds": ');
  if (how === 'fraction') return text.replace('"root_cover":', '"root_cover":1.5,"r":');
  return how === 'nothing' ? `{"id":7,"was":"${(JSON.parse(text) as Entry).id}"}` : text;
}

/** What lies in a pack, as the rows that it stands for. */
export function unpacked(head: PackHead, body: PackBody): { entries: EntryRow[]; records: KeptRow[] } {
  const entries = rowsIn(head, new Pack(body));
  const records = entries.flatMap((row) => {
    const made = madeOf(row.keys[0] ?? '', [row]);
    if (!made?.record) return [];
    const { record: _kept, ...kept } = rowOf(made.record);
    return [{ ...kept, hash: sumHex(textHash(made.text)), text: made.text }];
  });
  return { entries, records };
}

/** Pairs as the pairing screen does. @returns what kept it from it, if anything did */
export async function pair(code: string): Promise<string> {
  try {
    await pairThisPhone(code, 'Phone');
  } catch (error) {
    return error instanceof Error ? error.message : 'failed';
  }
  wake('paired');
  return '';
}
