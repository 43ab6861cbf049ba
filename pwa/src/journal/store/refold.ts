/** Folds records again from their entries, inside the transaction that changed the entries. */
import type { Work } from './base';
import { addFolded, entriesOf, keepFolded, type Refolded } from './folding';
import { takeOut } from './packs/script';

/** Records whose entries are in memory together. */
const RECORDS = 100;

/** Folds each key again from all its entries in the database; what lies in packs of them is taken out. */
export async function refold(work: Work, keys: Iterable<string>): Promise<Refolded> {
  const all: Refolded = { rows: [], gone: [], damaged: [], repaired: 0 };
  const names = [...new Set(keys)];
  await takeOut(work, names);
  const index = work.objectStore('entries').index('keys');
  for (let from = 0; from < names.length; from += RECORDS) {
    const some = names.slice(from, from + RECORDS).map(async (key) => [key, await entriesOf(index, key)] as const);
    addFolded(all, await keepFolded(work, new Map(await Promise.all(some))));
  }
  return all;
}
