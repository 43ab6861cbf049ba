/** What was written of the fields of a register, as this device's notes have it: its own unsent ones too. */
import { fieldHistory, type PastWrite } from '../../../../sync/fold/fieldHistory';
import { within } from '../store/base';
import { counts } from '../store/entryState';
import { stamped } from '../store/made';
import { entriesOf } from '../store/folding';
import { useStored } from './read';

type History = ReadonlyMap<string, readonly PastWrite[]>;

const none: History = new Map();

/**
 * The history of each field, newest first; empty until it has been read. Entries that the server did not merge are in no record and not
 * in it.
 * @param key the key of the register's record, such as "lot:ID"
 */
export function useFieldHistory(key: string): History {
  return useStored(() => historyOf(key), [key]) ?? none;
}

async function historyOf(key: string): Promise<History> {
  const rows = await within('readonly', ['entries'], (work) =>
    entriesOf(work.objectStore('entries').index('keys'), key),
  );
  return fieldHistory(key, rows.filter(counts).map(stamped));
}
