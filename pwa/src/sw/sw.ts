/**
 * Keeps the whole app on the phone, so that it starts without the server. It never touches /api: notes have their own
 * queue, and an answer of the server is never answered from here.
 *
 * A new build is fetched beside the running one; the next page that is loaded is of that build. Pages that are open go on as they
 * are, with the scripts of their own build, until all have been closed.
 */
/// <reference lib="webworker" />
import { newestBuild, writeNewest } from './newest';

const worker = globalThis as unknown as ServiceWorkerGlobalScope;

const PREFIX = 'bedwalk-app-';
const CACHE = `${PREFIX}${__BUILD_ID__}`;
/** The code reader's wasm, kept from its first use on, from build to build: large, and seldom another. */
const READER = 'bedwalk-reader';
const SHELL = '/';

worker.addEventListener('install', (event) => event.waitUntil(fetchAll()));
worker.addEventListener('activate', (event) => event.waitUntil(letGoOfOlder()));
worker.addEventListener('fetch', (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== 'GET' || url.origin !== worker.location.origin || url.pathname.startsWith('/api/'))
    return;
  event.respondWith(event.request.mode === 'navigate' ? shell(event.request) : file(event.request));
});

/** Fills this build's cache, all or nothing; files that did not change come from the build before. */
async function fetchAll(): Promise<void> {
  const cache = await caches.open(CACHE);
  await Promise.all(__PRECACHE__.map((path) => fetchOne(cache, path)));
  await writeNewest(__BUILD_ID__);
}

async function fetchOne(cache: Cache, path: string): Promise<void> {
  // A hash in the name means that the same name has the same bytes, so an old copy is as good as a new one.
  const had = path.startsWith('/assets/') ? await caches.match(path) : undefined;
  const answer = had ?? (await fetch(path, { cache: 'reload' }));
  if (!answer.ok || answer.redirected)
    throw new Error(`${path} could not be fetched (${answer.status}); tried again later`);
  await cache.put(path, answer);
}

/** No page of an older build is open when this runs: the browser waits for that. */
async function letGoOfOlder(): Promise<void> {
  const kept = [CACHE, await newestCache()];
  const older = (await caches.keys()).filter((name) => name.startsWith(PREFIX) && !kept.includes(name));
  await Promise.all(older.map((name) => caches.delete(name)));
  await worker.clients.claim();
}

async function newestCache(): Promise<string> {
  const build = await newestBuild();
  return build === undefined ? CACHE : PREFIX + build;
}

async function shell(request: Request): Promise<Response> {
  return (await caches.match(SHELL, { cacheName: await newestCache() })) ?? fetch(request);
}

async function file(request: Request): Promise<Response> {
  const { pathname } = new URL(request.url);
  if (pathname.endsWith('.wasm')) return readerFile(request);
  // A page that is open asks for scripts of its own build, of which the names tell them apart.
  const wanted = pathname.startsWith('/assets/') ? {} : { cacheName: await newestCache(), ignoreSearch: true };
  return (await caches.match(request, wanted)) ?? fetch(request);
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
