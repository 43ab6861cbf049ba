/** Fetches our code reader ahead, so that the first scan works out of range too; not where the browser has a reader. */
import wasm from 'zxing-wasm/reader/zxing_reader.wasm?url';
import { readsCodes } from './native';

/** Called once, well after the start. Without a service worker there is nowhere to keep it. */
export async function warm(): Promise<void> {
  const workers = navigator.serviceWorker as ServiceWorkerContainer | undefined;
  if (!workers?.controller || !navigator.onLine || (await readsCodes())) return;
  // The service worker keeps what passes it; an answer that does not come now comes at the first scan.
  await fetch(wasm).catch(() => undefined);
}
