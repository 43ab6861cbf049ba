/**
 * Photos have a database and a queue of their own behind the notes: a phone that is full loses its room for photos
 * first and never its room for a note.
 */
import { openDB, type DBSchema, type IDBPDatabase, type IDBPObjectStore } from 'idb';

export interface PhotoRow {
  /** SHA-256 of the bytes, in hexadecimal. */
  hash: string;
  bytes: ArrayBuffer;
  type: string;
  takenAt: number;
  /** 1 until the server has confirmed the hash. */
  pending?: 1;
  /** Where the server keeps the upload, once begun. */
  upload?: string;
}

interface PhotoShape extends DBSchema {
  photos: { key: string; value: PhotoRow; indexes: { pending: number } };
}

type Upgraded = IDBPObjectStore<PhotoShape, 'photos'[], 'photos', 'versionchange'>;

let opening: Promise<IDBPDatabase<PhotoShape>> | undefined;

export function photoBase(): Promise<IDBPDatabase<PhotoShape>> {
  opening ??= openDB<PhotoShape>('bedwalk-photos', 2, {
    upgrade(open, from, _, change) {
      if (from < 1) open.createObjectStore('photos', { keyPath: 'hash' }).createIndex('pending', 'pending');
      // Where a photo cannot be rewritten the whole change is undone, and opening fails with the reason.
      else void renamePending(change.objectStore('photos')).catch(() => undefined);
    },
    blocking: () => void closePhotos(),
    terminated: () => (opening = undefined),
  });
  return opening;
}

/** Before version 2 a photo that the server had not confirmed was called waiting. */
async function renamePending(photos: Upgraded): Promise<void> {
  photos.deleteIndex('waiting' as 'pending');
  photos.createIndex('pending', 'pending');
  for (let at = await photos.openCursor(); at; at = await at.continue()) {
    const { waiting, ...row } = at.value as PhotoRow & { waiting?: 1 };
    if (waiting) await at.update({ ...row, pending: waiting });
  }
}

async function closePhotos(): Promise<void> {
  const open = opening;
  opening = undefined;
  if (open) (await open).close();
}

export async function pendingPhotos(): Promise<number> {
  try {
    return await (await photoBase()).countFromIndex('photos', 'pending');
  } catch {
    // Photos never stand in the way of notes, not even when their database is broken.
    return 0;
  }
}

/** Keeps the bytes of a photo. A note about a photo is written only after this: it must never promise what is not there. */
export async function keepPhoto(row: PhotoRow): Promise<void> {
  const work = (await photoBase()).transaction('photos', 'readwrite', { durability: 'strict' });
  await work.store.put(row);
  await work.done;
}

export async function photoOf(hash: string): Promise<PhotoRow | undefined> {
  return (await photoBase()).get('photos', hash);
}

/** Drops photos from the phone; for those that the server has, and for one whose note could not be saved. */
export async function dropPhotos(hashes: readonly string[]): Promise<void> {
  const work = (await photoBase()).transaction('photos', 'readwrite');
  await Promise.all(hashes.map((hash) => work.store.delete(hash)));
  await work.done;
}
