/**
 * Photos have a database and a queue of their own behind the notes: a phone that is full loses its room for photos
 * first and never its room for a note.
 */
import { openDB, type DBSchema, type IDBPDatabase } from 'idb';

export interface PhotoRow {
  /** SHA-256 of the bytes, in hexadecimal. */
  hash: string;
  bytes: ArrayBuffer;
  type: string;
  takenAt: number;
  /** 1 until the server has confirmed the hash. */
  waiting?: 1;
  /** Where the server keeps the upload, once begun. */
  upload?: string;
}

interface PhotoShape extends DBSchema {
  photos: { key: string; value: PhotoRow; indexes: { waiting: number } };
}

let opening: Promise<IDBPDatabase<PhotoShape>> | undefined;

export function photoBase(): Promise<IDBPDatabase<PhotoShape>> {
  opening ??= openDB<PhotoShape>('bedwalk-photos', 1, {
    upgrade(open) {
      open.createObjectStore('photos', { keyPath: 'hash' }).createIndex('waiting', 'waiting');
    },
    blocking: () => void closePhotos(),
    terminated: () => (opening = undefined),
  });
  return opening;
}

async function closePhotos(): Promise<void> {
  const open = opening;
  opening = undefined;
  if (open) (await open).close();
}

export async function waitingPhotos(): Promise<number> {
  try {
    return await (await photoBase()).countFromIndex('photos', 'waiting');
  } catch {
    // Photos never stand in the way of notes, not even when their database is broken.
    return 0;
  }
}
