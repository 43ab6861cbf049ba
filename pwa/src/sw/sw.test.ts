import { afterEach, beforeEach, expect, test, vi } from 'vitest';

type Asked = { url: string } | string;

/** The Cache Storage of one phone: names in the order in which they were made, and what each holds by path. */
let stored: Map<string, Map<string, string>>;
const pathOf = (request: Asked) =>
  new URL(typeof request === 'string' ? request : request.url, 'https://n.example').pathname;
const answerOf = (text: string | undefined) => (text === undefined ? undefined : new Response(text));

function cacheOf(name: string) {
  const files = stored.get(name) ?? new Map<string, string>();
  stored.set(name, files);
  return {
    match: async (request: Asked) => answerOf(files.get(pathOf(request))),
    put: async (request: Asked, answer: Response) => void files.set(pathOf(request), await answer.text()),
  };
}

afterEach(() => vi.unstubAllGlobals());
beforeEach(() => {
  stored = new Map();
  vi.stubGlobal('caches', {
    keys: async () => [...stored.keys()],
    open: async (name: string) => cacheOf(name),
    delete: async (name: string) => stored.delete(name),
    match: async (request: Asked, { cacheName }: CacheQueryOptions & { cacheName?: string } = {}) =>
      answerOf(
        [...stored]
          .filter(([name]) => cacheName === undefined || name === cacheName)
          .map(([, files]) => files.get(pathOf(request)))
          .find((text) => text !== undefined),
      ),
  });
});

/** The service worker of a build that has these files, by path. */
async function workerOf(build: string, files: { [path: string]: string }) {
  const hears = new Map<string, (event: object) => void>();
  vi.resetModules();
  vi.stubGlobal('__BUILD_ID__', build);
  vi.stubGlobal('__PRECACHE__', Object.keys(files));
  vi.stubGlobal('addEventListener', (type: string, act: (event: object) => void) => void hears.set(type, act));
  vi.stubGlobal('location', { origin: 'https://n.example' });
  vi.stubGlobal('clients', { claim: async () => undefined });
  vi.stubGlobal('fetch', async (request: Asked) => answerOf(files[pathOf(request)]) ?? Response.error());
  await import('./sw');
  const happens = async (type: string, more: object = {}) => {
    let done: Promise<unknown> = Promise.resolve();
    const wait = (promise: Promise<unknown>) => (done = promise);
    hears.get(type)?.({ ...more, waitUntil: wait, respondWith: wait });
    return done;
  };
  return {
    arrives: () => happens('install'),
    takesOver: () => happens('activate'),
    async gives(path: string): Promise<string> {
      const request = { url: `https://n.example${path}`, method: 'GET', mode: path === '/' ? 'navigate' : 'no-cors' };
      return ((await happens('fetch', { request })) as Response).text();
    },
  };
}

const one = { '/': 'page 1', '/icon.svg': 'icon 1', '/assets/same.js': 'same', '/assets/late-1.js': 'late 1' };
const two = { '/': 'page 2', '/icon.svg': 'icon 2', '/assets/same.js': 'same', '/assets/late-2.js': 'late 2' };

test('the page that is loaded next is of the newer build, also from the older worker, and an open one has its own scripts', async () => {
  const older = await workerOf('one', one);
  await older.arrives();
  await older.takesOver();
  const newer = await workerOf('two', two);
  await newer.arrives();
  vi.stubGlobal('fetch', async () => Response.error());
  expect(await older.gives('/')).toBe('page 2');
  expect(await older.gives('/icon.svg')).toBe('icon 2');
  expect(await older.gives('/assets/late-2.js')).toBe('late 2');
  expect(await older.gives('/assets/late-1.js')).toBe('late 1');
  expect(await older.gives('/assets/same.js')).toBe('same');
  // All pages have been closed.
  await newer.takesOver();
  expect([...stored.keys()]).toEqual(['bedwalk-newest', 'bedwalk-app-two']);
  expect(await newer.gives('/')).toBe('page 2');
});

test('a build that did not come whole changes nothing', async () => {
  const older = await workerOf('one', one);
  await older.arrives();
  await older.takesOver();
  const newer = await workerOf('two', two);
  vi.stubGlobal('fetch', async (asked: Asked) =>
    pathOf(asked) === '/assets/late-2.js' ? Response.error() : new Response('here'),
  );
  await expect(newer.arrives()).rejects.toThrow('/assets/late-2.js could not be fetched');
  expect(await older.gives('/')).toBe('page 1');
});

test('a build that the office has gone back to is the newest again', async () => {
  const [first, second] = [await workerOf('one', one), await workerOf('two', two)];
  await first.arrives();
  await second.arrives();
  await (await workerOf('one', one)).arrives();
  expect(await second.gives('/')).toBe('page 1');
});
