import { afterEach, beforeEach, expect, test, vi } from 'vitest';

/** What the worker has written down, and the worker that is coming. */
let newest: string | undefined;
let registration: EventTarget & { installing: EventTarget | null };
let container: { controller: object | null; register: () => Promise<typeof registration> };
const reload = vi.fn();

afterEach(() => vi.unstubAllGlobals());
beforeEach(() => {
  vi.resetModules();
  reload.mockReset();
  newest = 'b1';
  registration = Object.assign(new EventTarget(), { installing: null });
  container = { controller: {}, register: async () => registration };
  vi.stubGlobal('navigator', { serviceWorker: container, onLine: true });
  vi.stubGlobal('caches', { match: async () => newest && new Response(newest) });
  vi.stubGlobal('location', { reload });
  document.head.innerHTML = '<meta name="build" content="b1">';
});

/** The app's page, of build b1. */
async function aPage() {
  const update = await import('./update');
  const listens = vi.spyOn(registration, 'addEventListener');
  update.startUpdates();
  await vi.waitFor(() => expect(listens).toHaveBeenCalled());
  return update;
}

/** A build comes, and all its files are there. */
async function arrives(build: string): Promise<void> {
  const worker = new EventTarget();
  registration.installing = worker;
  registration.dispatchEvent(new Event('updatefound'));
  newest = build;
  worker.dispatchEvent(new Event('statechange'));
  await isRead();
}

/** What was written down is read. */
const isRead = () => new Promise((done) => setTimeout(done));

test('a newer build is offered from the next page on, and moves nothing on the one that is open', async () => {
  const { updateReady, offerUpdate } = await aPage();
  await arrives('b2');
  expect(updateReady.value).toBe(false);
  offerUpdate();
  expect(updateReady.value).toBe(true);
});

test('a build that is on its way when the page starts is offered once it is there', async () => {
  const worker = new EventTarget();
  registration.installing = worker;
  const { updateReady, offerUpdate } = await aPage();
  newest = 'b2';
  worker.dispatchEvent(new Event('statechange'));
  await isRead();
  offerUpdate();
  expect(updateReady.value).toBe(true);
});

test('nothing is offered while a form is half filled', async () => {
  const { updateReady, offerUpdate, holdUpdates } = await aPage();
  const release = holdUpdates();
  await arrives('b2');
  offerUpdate();
  expect(updateReady.value).toBe(false);
  release();
  expect(updateReady.value).toBe(true);
});

test('to agree is to load the page again, whatever the browser has made of the newer worker by then', async () => {
  const { takeUpdate } = await aPage();
  await arrives('b2');
  takeUpdate();
  expect(reload).toHaveBeenCalledOnce();
});

test('nothing is offered where the device has the build of the page, or where the page came past the worker', async () => {
  const { updateReady, offerUpdate } = await aPage();
  await arrives('b1');
  offerUpdate();
  expect(updateReady.value).toBe(false);
  container.controller = null;
  await arrives('b0');
  offerUpdate();
  expect(updateReady.value).toBe(false);
});
