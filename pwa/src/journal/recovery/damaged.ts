/**
 * Records that can no longer be read, as after a fault of the phone's storage. A record is only the fold of its entries: it is
 * made from them again, or comes again from the server, and what was noted is never at stake.
 */
import { signal } from '@preact/signals-core';
import { base, within } from '../store/base';
import { subscribe, publish } from '../store/changes';
import { DAMAGED, decodeRow, type KeptRow, type RecordRow } from '../store/shape';
import { wake } from '../worker/wake';

export interface Repaired {
  /** Records that were made again from what is on the phone. */
  again: number;
  /** Records of which the phone has no note: they are read from the server again. */
  asked: number;
}

/**
 * What was repaired since the start. Any thread may be first: a note that the sync worker has pulled, or a save, has its records
 * folded again too. So the count comes from each fold, as it is published.
 */
export const repaired = signal<Repaired>({ again: 0, asked: 0 });

subscribe(({ repaired: again = 0 }) => count(again, 0));

function count(again: number, asked: number): void {
  if (again + asked === 0) return;
  repaired.value = { again: repaired.value.again + again, asked: repaired.value.asked + asked };
}

/** How many records cannot be folded from their entries, which are kept: no reading again would repair them. */
export const unfolded = signal(0);

/** Tried once a start: a newer build may fold what an older could not. */
const tried = new Set<string>();

/** Counts what cannot be folded, now and when it may be another number. */
export async function watchUnfolded(): Promise<void> {
  const recount = async () => {
    unfolded.value = await (await base()).countFromIndex('records', 'fact', DAMAGED);
  };
  subscribe(({ gone }) => {
    if (gone.length > 0 || unfolded.value > 0) recount().catch(() => undefined);
  });
  await recount();
}

/** The rows that can be read. The others are repaired meanwhile, and published like any other change. */
export function decodeRows(rows: readonly KeptRow[]): RecordRow[] {
  const damaged: string[] = [];
  const good = rows.flatMap((row) => {
    const made = decodeRow(row);
    if (!made && !(row.fact === DAMAGED && tried.has(row.key))) damaged.push(row.key);
    return made ?? [];
  });
  if (damaged.length > 0) {
    for (const key of damaged) waiting.add(key);
    void repairWaiting();
  }
  return good;
}

const FIRST_RETRY_MS = 1_000;
const LONGEST_RETRY_MS = 5 * 60_000;

/** Keys of records that were found damaged and are not repaired yet. */
const waiting = new Set<string>();
let repairing = false;
let retryMs = FIRST_RETRY_MS;

/** Repairs all that wait. What fails, as on a phone that is full, is tried again: a screen reads its registers only once. */
async function repairWaiting(): Promise<void> {
  if (repairing) return;
  repairing = true;
  try {
    while (waiting.size > 0) {
      const keys = [...waiting];
      await repair(keys);
      for (const key of keys) waiting.delete(key);
    }
    retryMs = FIRST_RETRY_MS;
  } catch {
    setTimeout(() => void repairWaiting(), retryMs);
    retryMs = Math.min(LONGEST_RETRY_MS, 2 * retryMs);
  } finally {
    repairing = false;
  }
}

async function repair(keys: readonly string[]): Promise<void> {
  // Seldom needed, and no first screen should wait for it.
  const [{ refold }, { askToReread }] = await Promise.all([import('../store/refold'), import('./mark')]);
  const folded = await within('readwrite', ['entries', 'records', 'meta'], async (work) => {
    const rows = await Promise.all(keys.map((key) => work.objectStore('records').get(key)));
    // Two screens may have met the same row.
    const still = rows.flatMap((row) => (row && !decodeRow(row) ? [row.key] : []));
    const made = await refold(work, still);
    if (made.gone.length > made.damaged.length) await askToReread(work);
    return made;
  });
  for (const key of folded.damaged) tried.add(key);
  const asked = folded.gone.length - folded.damaged.length;
  count(0, asked);
  publish({ ...folded, queue: true });
  if (asked > 0) wake('asked');
}
