/** How many notes are in the outbox, and what was last sent: counted again after every save, delivery and pull, in every tab. */
import { signal } from '@preact/signals-core';
import { base } from '../store/base';
import { subscribe } from '../store/changes';
import { wall } from '../store/device';
import { whenIdle } from '../store/pause';
import { pendingPhotos } from './photos';
import type { Cursor, Meta } from '../store/shape';

export interface Outbox {
  pending: number;
  parked: number;
  photos: number;
  /** When a batch of this phone last arrived at the server, ms since 1970; 0 for never. */
  lastSentAt: number;
  /** The server's last verdict on whether phone and server hold the same. */
  digest: Meta['digest'] | undefined;
  backedUpTo: number;
}

export const outbox = signal<Outbox>({
  pending: 0,
  parked: 0,
  photos: 0,
  lastSentAt: 0,
  digest: undefined,
  backedUpTo: 0,
});

async function count(): Promise<void> {
  await countNotes();
  await countPhotos();
}

/** The last count, for a start at which the database cannot be opened. */
export interface LastCount {
  pending: number;
  /** ms since 1970 */
  at: number;
}

const SLOT = 'bedwalk-outbox';

/** Undefined where nothing was ever counted on this phone. */
export function lastCount(): LastCount | undefined {
  try {
    const kept = JSON.parse(localStorage.getItem(SLOT) ?? 'null') as LastCount | null;
    return typeof kept?.pending === 'number' && typeof kept.at === 'number' ? kept : undefined;
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
  await whenIdle();
  counting = false;
  await count();
}

async function countNotes(): Promise<void> {
  const work = (await base()).transaction(['entries', 'meta']);
  const entries = work.objectStore('entries');
  const meta = work.objectStore('meta');
  const [queued, parked, sent, digest, cursor] = await Promise.all([
    entries.index('pending').count(),
    entries.index('state').count('parked'),
    meta.get('sent') as Promise<Meta['sent'] | undefined>,
    meta.get('digest') as Promise<Meta['digest'] | undefined>,
    meta.get('cursor') as Promise<Cursor | undefined>,
  ]);
  outbox.value = {
    pending: queued,
    parked,
    photos: outbox.value.photos,
    lastSentAt: sent?.at ?? 0,
    digest,
    backedUpTo: cursor?.backedUpTo ?? 0,
  };
  keepCount({ pending: queued + parked, at: wall() });
}

/** In a database of their own, which no start should wait for. */
async function countPhotos(): Promise<void> {
  const photos = await pendingPhotos();
  if (photos !== outbox.value.photos) outbox.value = { ...outbox.value, photos };
}

/** Settles when the notes are counted. */
export async function startCounting(): Promise<void> {
  subscribe((changed) => {
    // Where nothing can be counted the start has said so already.
    if (changed.queue) countSoon().catch(() => undefined);
  });
  await countNotes();
  void countPhotos();
}
