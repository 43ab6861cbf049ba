/** Fetches our code reader ahead, so that the first scan works out of range too; not where the browser has a reader. */
import wasm from 'zxing-wasm/reader/zxing_reader.wasm?url';
import { readsCodes } from './native';

let warming: Promise<void> | undefined;

/**
 * Called as soon as the phone is paired, and well after each start. A phone that goes out of range meanwhile tries again
 * when it is back. Without a service worker there is nowhere to keep it, and this never settles.
 */
export function warm(): Promise<void> {
  return (warming ??= fetchReader());
}

async function fetchReader(): Promise<void> {
  const workers = navigator.serviceWorker as ServiceWorkerContainer | undefined;
  if (!workers || (await readsCodes())) return;
  await workers.ready;
  // The service worker keeps what passes it, and at a first visit nothing passes it before it has taken over.
  if (!workers.controller) await once(workers, 'controllerchange');
  while (!(await fetched())) await once(globalThis, 'online');
}

async function fetched(): Promise<boolean> {
  const answer = await fetch(wasm).catch(() => undefined);
  return answer?.ok ?? false;
}

function once(target: EventTarget, event: string): Promise<unknown> {
  return new Promise((done) => target.addEventListener(event, done, { once: true }));
}
