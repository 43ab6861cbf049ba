/**
 * Keeps the whole app on the phone, so that it starts without the server. It never touches /api: notes have their own
 * queue, and an answer of the server is never answered from here.
 *
 * A new build is fetched beside the running one and waits; it takes over only when the page says so, at a moment when
 * nothing is half typed and nothing is being sent.
 */
/// <reference lib="webworker" />
const worker = globalThis as unknown as ServiceWorkerGlobalScope;

const PREFIX = 'bedwalk-app-';
const CACHE = `${PREFIX}${__BUILD_ID__}`;
/** The code reader's wasm, kept from its first use on, from build to build: large, and seldom another. */
const READER = 'bedwalk-reader';
const SHELL = '/';

worker.addEventListener('install', (event) => event.waitUntil(fetchAll()));
worker.addEventListener('activate', (event) => event.waitUntil(takeOver()));
worker.addEventListener('fetch', (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== 'GET' || url.origin !== worker.location.origin || url.pathname.startsWith('/api/'))
    return;
  event.respondWith(event.request.mode === 'navigate' ? shell(event.request) : file(event.request));
});
worker.addEventListener('message', (event) => {
  if (event.data === 'take-over') void worker.skipWaiting();
});

/** Fills this build's cache, all or nothing; files that did not change come from the build before. */
async function fetchAll(): Promise<void> {
  const cache = await caches.open(CACHE);
  await Promise.all(__PRECACHE__.map((path) => fetchOne(cache, path)));
}

async function fetchOne(cache: Cache, path: string): Promise<void> {
  // A hash in the name means that the same name has the same bytes, so an old copy is as good as a new one.
  const had = path.startsWith('/assets/') ? await caches.match(path) : undefined;
  const answer = had ?? (await fetch(path, { cache: 'reload' }));
  if (!answer.ok || answer.redirected)
    throw new Error(`${path} could not be fetched (${answer.status}); tried again later`);
  await cache.put(path, answer);
}

async function takeOver(): Promise<void> {
  const names = await caches.keys();
  await Promise.all(
    names.filter((name) => name.startsWith(PREFIX) && name !== CACHE).map((name) => caches.delete(name)),
  );
  await worker.clients.claim();
}

async function shell(request: Request): Promise<Response> {
  return (await (await caches.open(CACHE)).match(SHELL)) ?? fetch(request);
}

async function file(request: Request): Promise<Response> {
  if (request.url.endsWith('.wasm')) return readerFile(request);
  const cache = await caches.open(CACHE);
  return (await cache.match(request, { ignoreSearch: true })) ?? fetch(request);
}

async function readerFile(request: Request): Promise<Response> {
  const cache = await caches.open(READER);
  const had = await cache.match(request);
  if (had) return had;
  const answer = await fetch(request);
  if (answer.ok && !answer.redirected) {
    for (const older of await cache.keys()) await cache.delete(older);
    await cache.put(request, answer.clone());
  }
  return answer;
}
