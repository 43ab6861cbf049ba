/** The code reader: the browser's own where it reads QR codes, else ours in a worker, fetched when it is first needed. */
import { nativeDetector } from './native';
import type { Asked, Found, Told } from './reader.worker';

export interface Reader {
  /** The code in a picture and where it lies, undefined where there is none. The picture is used up. */
  read: (picture: ImageBitmap) => Promise<Found | undefined>;
  close: () => void;
}

/** @returns undefined when the worker's files are neither on this phone nor in range */
export async function openReader(): Promise<Reader | undefined> {
  return (await nativeReader()) ?? workerReader();
}

async function nativeReader(): Promise<Reader | undefined> {
  const detector = await nativeDetector();
  if (!detector) return undefined;
  return {
    read: async (picture) => {
      const [found] = await detector.detect(picture).finally(() => picture.close());
      return found && { code: found.rawValue, corners: found.cornerPoints };
    },
    close: () => undefined,
  };
}

async function workerReader(): Promise<Reader | undefined> {
  const worker = new Worker(new URL('./reader.worker.ts', import.meta.url), { type: 'module' });
  const ask = (asked: Asked, moved: Transferable[] = []) =>
    new Promise<Told | undefined>((done) => {
      worker.addEventListener('message', (event: MessageEvent<Told>) => done(event.data), { once: true });
      worker.addEventListener('error', () => done(undefined), { once: true });
      worker.postMessage(asked, moved);
    });
  const answer = await ask({ ready: true });
  if (!answer || !('ready' in answer) || !answer.ready) {
    worker.terminate();
    return undefined;
  }
  return {
    read: async (picture) => {
      const found = await ask({ picture }, [picture]);
      return found && 'found' in found ? found.found : undefined;
    },
    close: () => worker.terminate(),
  };
}
