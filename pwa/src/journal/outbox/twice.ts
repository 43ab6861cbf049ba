/**
 * Two tabs of a device may show one half-filled form, or one open pot, and save it with different words under the same ids. The first
 * save stands, and `save` takes the second for a repetition of it. Whoever saves from a form looks here whether that is so.
 */
import type { Entry } from '../../../../schema/types';
import { canonical } from '../../../../sync/journal/journal';
import type { Work } from '../store/base';
import type { EntryRow, Intent } from '../store/shape';
import { NotSaved } from './write';

/** Nothing was saved, since other words stand under these ids. */
export class SavedOtherwise extends NotSaved {
  override readonly message = 'other words are saved under this id; save under another id what is to be saved as well';
  /** What stands there. */
  readonly there: Entry;

  constructor(there: Entry) {
    super('broken', 'nowhere');
    this.there = there;
  }
}

/**
 * Goes along with a save, in its transaction, after the notes.
 * @throws SavedOtherwise when one of them stands there with other words
 */
export async function mustBeSame(work: Work, notes: readonly Intent[]): Promise<void> {
  const rows = await Promise.all(notes.map(({ id }) => work.objectStore('entries').get(id)));
  const other = rows.find((row, i) => row && differs(row, notes[i]));
  if (other) throw new SavedOtherwise(other.entry);
}

/** By canonical bytes: a field left out and a field that is undefined are the same. */
function differs({ entry }: EntryRow, note: Intent | undefined): boolean {
  if (!note) return false;
  const { lot: _lot, bed: _bed, ...rest } = entry;
  const again = { ...rest, kind: note.kind, body: note.body, ...placed(note) };
  return canonical(again) !== canonical(entry);
}

function placed({ lot, bed }: Intent): Pick<Entry, 'lot' | 'bed'> {
  return { ...(lot ? { lot } : {}), ...(bed ? { bed } : {}) };
}
