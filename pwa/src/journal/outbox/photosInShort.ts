/** Which photos there are, without their pictures: asked for only when photos are sent. */
import { photoBase } from './photos';

/** A photo without its picture. */
export interface PhotoInShort {
  hash: string;
  /** How many bytes the picture has. */
  bytes: number;
  takenAt: number;
}

/** Reads one photo at a time: there may be hundreds, each of some hundred kilobytes, and together they would fill a phone's memory. */
async function inShort(which: 'pending' | 'confirmed'): Promise<PhotoInShort[]> {
  const found: PhotoInShort[] = [];
  const { store } = (await photoBase()).transaction('photos');
  const first = which === 'pending' ? store.index('pending').openCursor() : store.openCursor();
  for (let at = await first; at; at = await at.continue()) {
    const { hash, bytes, takenAt, pending } = at.value;
    if (which === 'pending' || pending === undefined) found.push({ hash, bytes: bytes.byteLength, takenAt });
  }
  return found;
}

/** The photos that the server has not confirmed yet, oldest first. */
export async function queuedPhotos(): Promise<PhotoInShort[]> {
  return (await inShort('pending')).sort((a, b) => a.takenAt - b.takenAt);
}

/** Photos that the server has confirmed, newest first. */
export async function confirmedPhotos(): Promise<PhotoInShort[]> {
  return (await inShort('confirmed')).sort((a, b) => b.takenAt - a.takenAt);
}
