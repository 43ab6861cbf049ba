/** What this phone knows of a lot's ledger, as a recount has to say it. */
import { within } from '../store/base';
import { counts, isApart } from '../store/entryState';
import { entriesOf } from '../store/folding';

/**
 * For each "device.incarnation" the last sequence among the ledger lines of a lot that are on this phone, own unsent
 * ones too. Entries of one device arrive in order, so every earlier line of it is known as well.
 */
export async function basisOf(lot: string): Promise<Record<string, number>> {
  return within('readonly', ['entries'], async (work) => {
    const basis: Record<string, number> = {};
    for (const row of await entriesOf(work.objectStore('entries').index('keys'), `stock:${lot}`)) {
      // What the server did not merge is in no record, so nobody has counted with it.
      if (isApart(row) || !counts(row)) continue;
      const { entry } = row;
      const writer = `${entry.device}.${entry.inc}`;
      basis[writer] = Math.max(basis[writer] ?? 0, entry.seq);
    }
    return basis;
  });
}
