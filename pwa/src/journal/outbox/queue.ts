/** How many notes wait, and what was last sent: counted anew after every save, delivery and pull, in every tab. */
import { signal } from '@preact/signals';
import { base } from '../store/base';
import { hear } from '../store/changes';
import { wall } from '../store/clock';
import { quiet } from '../store/pause';
import { waitingPhotos } from './photos';
import type { Cursor, Meta } from '../store/shape';

export interface Waiting {
  waiting: number;
  parked: number;
  photos: number;
  /** When a batch of this phone last arrived at the server, ms since 1970; 0 for never. */
  lastSentAt: number;
  /** The server's last verdict on whether phone and server hold the same. */
  told: Meta['told'] | undefined;
  backedUpTo: number;
}

export const waiting = signal<Waiting>({
  waiting: 0,
  parked: 0,
  photos: 0,
  lastSentAt: 0,
  told: undefined,
  backedUpTo: 0,
});

export async function count(): Promise<void> {
  await countNotes();
  await countPhotos();
}

/** The last count, for a start at which the database cannot be opened. */
export interface LastCount {
  waiting: number;
  /** ms since 1970 */
  at: number;
}

const SLOT = 'bedwalk-waiting';

/** Undefined where nothing was ever counted on this phone. */
export function lastCount(): LastCount | undefined {
  try {
    const kept = JSON.parse(localStorage.getItem(SLOT) ?? 'null') as LastCount | null;
    return typeof kept?.waiting === 'number' && typeof kept.at === 'number' ? kept : undefined;
  } catch {
    return undefined;
  }
}

function keepCount(count: LastCount): void {
  try {
    localStorage.setItem(SLOT, JSON.stringify(count));
  } catch {
    // A phone without room for a number: then it is not known what waited.
  }
}

let counting = false;

/** Between two taps there is time for it; what changes meanwhile is counted along. */
async function countSoon(): Promise<void> {
  if (counting) return;
  counting = true;
  await quiet();
  counting = false;
  await count();
}

async function countNotes(): Promise<void> {
  const work = (await base()).transaction(['entries', 'meta']);
  const entries = work.objectStore('entries');
  const meta = work.objectStore('meta');
  const [queued, parked, sent, told, cursor] = await Promise.all([
    entries.index('pending').count(),
    entries.index('parked').count(),
    meta.get('sent') as Promise<Meta['sent'] | undefined>,
    meta.get('told') as Promise<Meta['told'] | undefined>,
    meta.get('cursor') as Promise<Cursor | undefined>,
  ]);
  waiting.value = {
    waiting: queued,
    parked,
    photos: waiting.value.photos,
    lastSentAt: sent?.at ?? 0,
    told,
    backedUpTo: cursor?.backedUpTo ?? 0,
  };
  keepCount({ waiting: queued + parked, at: wall() });
}

/** In a database of their own, which no start should wait for. */
async function countPhotos(): Promise<void> {
  const photos = await waitingPhotos();
  if (photos !== waiting.value.photos) waiting.value = { ...waiting.value, photos };
}

/** Settles when the notes are counted. */
export async function startCounting(): Promise<void> {
  hear((changed) => {
    // Where nothing can be counted the start has said so already.
    if (changed.queue) countSoon().catch(() => undefined);
  });
  await countNotes();
  void countPhotos();
}
