/**
 * The houses of which this phone has the notes. The supervisor gives a scout some in the person's record; a house that is opened on the phone
 * besides is a matter of this phone alone. What every phone knows, houses, beds, stretches and lots, stays either way.
 */
import { housesOf } from '../../../../sync/fold/ownHouses';
import { within, type Reading } from '../store/base';
import { publish } from '../store/changes';
import { decodeRow, type Carried, type KnownMe } from '../store/shape';

export async function carriedOf(work: Reading): Promise<Carried | undefined> {
  return (await work.objectStore('meta').get('carried')) as Carried | undefined;
}

/** Follows the record of the person whose phone this is. When the supervisor gives other houses, those that were opened are closed. */
export async function followOwnHouses(): Promise<void> {
  const isOther = await within('readonly', ['meta', 'records'], async (work) => (await nextCarried(work)) !== 'same');
  if (!isOther) return;
  await within('readwrite', ['meta', 'records'], async (work) => {
    const next = await nextCarried(work);
    const meta = work.objectStore('meta');
    if (next === undefined) await meta.delete('carried');
    else if (next !== 'same') await meta.put(next, 'carried');
  });
  publish({ queue: true });
}

/** Other devices than scouts' keep every house. */
async function nextCarried(work: Reading): Promise<Carried | undefined | 'same'> {
  const known = (await work.objectStore('meta').get('me')) as KnownMe | undefined;
  const row = known?.role === 'scout' ? await work.objectStore('records').get(`person:${known.person}`) : undefined;
  const before = await carriedOf(work);
  const person = row && decodeRow(row);
  // Until a record that cannot be read has been made again, nobody knows.
  if (row && !person) return 'same';
  const own = [...new Set(housesOf(person?.record))].sort();
  if (own.join(' ') === (before?.own ?? []).join(' ')) return 'same';
  return own.length > 0 ? { own, opened: [] } : undefined;
}
