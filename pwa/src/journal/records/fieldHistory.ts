/** What was written of each field of a lot, as this device's notes have it: its own unsent ones too. */
import { useEffect, useState } from 'preact/hooks';
import { fieldHistory, type PastWrite } from '../../../../sync/fold/fieldHistory';
import { within } from '../store/base';
import { counts } from '../store/entryState';
import { entriesOf, stamped } from '../store/refold';
import { recordOf } from './registers';

async function historyOf(key: string): Promise<ReadonlyMap<string, PastWrite[]>> {
  const rows = await within('readonly', ['entries'], (work) =>
    entriesOf(work.objectStore('entries').index('keys'), key),
  );
  return fieldHistory(key, rows.filter(counts).map(stamped));
}

/** The history of a lot's fields, newest first, read again whenever its record changes; empty until it has been read. */
export function useLotHistory(lot: string): ReadonlyMap<string, readonly PastWrite[]> {
  const [read, keep] = useState<ReadonlyMap<string, readonly PastWrite[]>>(new Map());
  const record = recordOf('lot', lot);
  useEffect(() => {
    let isOver = false;
    void historyOf(`lot:${lot}`).then((all) => isOver || keep(all));
    return () => {
      isOver = true;
    };
  }, [lot, record]);
  return read;
}
