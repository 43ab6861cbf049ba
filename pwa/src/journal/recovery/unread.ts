/**
 * Reads later what an older build kept unread. Entries of a kind that a build does not know have no record keys; a build that knows other kinds
 * goes once over all entries, gives each the keys that it gives itself, and folds the records that these name, a page a transaction.
 */
import { foldVersion } from '../../../../schema/kinds';
import type { Work } from '../store/base';
import { pageAfter } from '../store/pages';
import { PAGE } from '../store/pageSize';
import { keysOfEntry, type Refolded } from '../store/folding';
import { refold } from '../store/refold';
import type { Recovery } from '../store/shape';
import { keepRecovery } from './mark';

export async function unreadPage(work: Work, recovery: Recovery): Promise<Refolded> {
  const { unread, ...rest } = recovery;
  const entries = work.objectStore('entries');
  // What another build had begun is gone over again from the first entry.
  const rows = await pageAfter(entries, unread?.fold === foldVersion ? unread.after : '');
  const stale = new Set<string>();
  for (const row of rows) {
    const keys = keysOfEntry(row.entry);
    if (keys.length === row.keys.length && keys.every((key) => row.keys.includes(key))) continue;
    for (const key of [...row.keys, ...keys]) stale.add(key);
    await entries.put({ ...row, keys });
  }
  const last = rows.length === PAGE ? rows[PAGE - 1] : undefined;
  if (last) await keepRecovery(work, { ...rest, unread: { fold: foldVersion, after: last.id } });
  else {
    await keepRecovery(work, rest);
    await work.objectStore('meta').put(foldVersion, 'fold');
  }
  return refold(work, stale);
}
