/**
 * Records that can no longer be read, as after a fault of the phone's storage. A record is only the fold of its entries: it is
 * made from them again, or comes again from the server, and what was noted is never at stake.
 */
import { signal } from '@preact/signals';
import { within } from './base';
import { publish } from './changes';
import { opened, type KeptRow, type RecordRow } from './shape';
import { wake } from './wake';

export interface Mended {
  /** Records that were made again from what is on the phone. */
  again: number;
  /** Records of which the phone has no note: they are read from the server again. */
  asked: number;
}

/** What was mended since the start. */
export const mended = signal<Mended>({ again: 0, asked: 0 });

/** The rows that can be read. The others are mended meanwhile, and told like any other change. */
export function sound(rows: readonly KeptRow[]): RecordRow[] {
  const damaged: string[] = [];
  const good = rows.flatMap((row) => {
    const made = opened(row);
    if (!made) damaged.push(row.key);
    return made ?? [];
  });
  // What cannot be mended now, since the phone cannot write, is met again by the next reading.
  if (damaged.length > 0) mendAgain(damaged).catch(() => undefined);
  return good;
}

async function mendAgain(keys: readonly string[]): Promise<void> {
  // Seldom needed, and no first screen should wait for it.
  const [{ refold }, { doubtAll }] = await Promise.all([import('./refold'), import('./again')]);
  const folded = await within('readwrite', ['entries', 'records', 'meta'], async (work) => {
    const rows = await Promise.all(keys.map((key) => work.objectStore('records').get(key)));
    // Two screens may have met the same row.
    const still = rows.flatMap((row) => (row && !opened(row) ? [row.key] : []));
    const made = await refold(work, still);
    if (made.gone.length > 0) await doubtAll(work);
    return made;
  });
  mended.value = { again: mended.value.again + folded.rows.length, asked: mended.value.asked + folded.gone.length };
  publish({ ...folded, queue: true });
  if (folded.gone.length > 0) wake('asked');
}
