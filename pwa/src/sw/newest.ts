/**
 * Which build of the app a page is to be: the newest that the device has whole. The service worker writes it down once the last
 * of a build's files is there, and whichever worker answers then gives that build's page. So a page has only to be loaded again
 * to be of the newer build, whether or not the browser has let the newer worker take over by then: Chromium does that late, or
 * while somebody watches the worker never, if the older one is given something to do just as it is being ended.
 */
const NAME = 'bedwalk-newest';
const KEY = '/';

/** @returns the build's id; undefined as long as no build is there whole */
export async function newestBuild(): Promise<string | undefined> {
  return (await caches.match(KEY, { cacheName: NAME }))?.text();
}

export async function writeNewest(build: string): Promise<void> {
  await (await caches.open(NAME)).put(KEY, new Response(build));
}
