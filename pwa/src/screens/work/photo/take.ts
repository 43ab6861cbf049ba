/** Takes a picture from file to note: made small (in a worker where that can draw), its bytes kept in their own store, its note saved. */
import type { Photo, Stamped } from '../../../../../schema/types';
import { randomId } from '../../../journal/store/device';
import { dropPhotos, keepPhoto, photoOf } from '../../../journal/outbox/photos';
import { isLow, refreshEstimate } from '../../../journal/store/storage';
import { intent, save } from '../../../journal/outbox/write';
import type { Shrunk } from './shrink';
import type { Reply } from './shrink.worker';
import { TYPE } from './fit';

export type Taken =
  /** fresh: the phone had no such picture before, so taking the note back may drop it. */
  | { ok: true; saved: Stamped; photo: Photo; fresh: boolean }
  | { ok: false; why: 'low' | 'unreadable' | 'full' | 'broken' };

/** A worker that nobody needs any more goes, and its memory with it. */
const IDLE_MS = 10_000;

let worker: Worker | undefined;
let idle: ReturnType<typeof setTimeout> | undefined;

export async function takePhoto(file: Blob, about: Pick<Photo, 'lot' | 'bed' | 'pot' | 'head'>): Promise<Taken> {
  await refreshEstimate();
  if (isLow()) return { ok: false, why: 'low' };
  const shrunk = await shrink(file);
  if (!shrunk) return { ok: false, why: 'unreadable' };
  const had = await photoOf(shrunk.hash).catch(() => undefined);
  try {
    // The bytes first: a note must never promise a picture that is not on the phone.
    await keepPhoto({ hash: shrunk.hash, bytes: shrunk.bytes, type: TYPE, takenAt: Date.now(), pending: 1 });
  } catch {
    return { ok: false, why: 'full' };
  }
  const photo: Photo = {
    ...about,
    hash: shrunk.hash,
    bytes: shrunk.bytes.byteLength,
    wide_px: shrunk.wide,
    high_px: shrunk.high,
    type: TYPE,
  };
  try {
    const [saved] = await save([intent('photo', photo, { id: randomId() })]);
    if (saved) return { ok: true, saved, photo, fresh: !had };
  } catch {
    if (!had) await dropPhotos([shrunk.hash]);
  }
  return { ok: false, why: 'broken' };
}

/** @returns undefined for what is no picture */
async function shrink(file: Blob): Promise<Shrunk | undefined> {
  if (typeof OffscreenCanvas !== 'undefined') return shrinkAside(file);
  const { shrinkHere } = await import('./shrinkHere');
  return shrinkHere(file).catch(() => undefined);
}

function shrinkAside(file: Blob): Promise<Shrunk | undefined> {
  clearTimeout(idle);
  worker ??= new Worker(new URL('./shrink.worker.ts', import.meta.url), { type: 'module' });
  const busy = worker;
  return new Promise<Reply>((done) => {
    busy.addEventListener('message', (event: MessageEvent<Reply>) => done(event.data), { once: true });
    busy.addEventListener('error', () => done(undefined), { once: true });
    busy.postMessage(file);
  }).finally(() => {
    idle = setTimeout(() => {
      worker?.terminate();
      worker = undefined;
    }, IDLE_MS);
  });
}
