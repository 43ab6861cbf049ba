/** The code reader is on the phone before anybody scans, however soon the phone leaves the server's range. */
import { afterEach, expect, test, vi } from 'vitest';

afterEach(() => {
  vi.unstubAllGlobals();
  vi.resetModules();
});

/** A browser without a reader of its own, whose service worker has this to say. */
function browser(workers: EventTarget & { controller: object | null }) {
  vi.stubGlobal('navigator', { serviceWorker: Object.assign(workers, { ready: Promise.resolve() }) });
  const fetched = vi.fn<() => Promise<Response>>();
  vi.stubGlobal('fetch', fetched);
  return fetched;
}

test('a reader that could not be fetched is fetched when the phone is back in range', async () => {
  const fetched = browser(Object.assign(new EventTarget(), { controller: {} }));
  fetched.mockRejectedValueOnce(new TypeError('Failed to fetch'));
  fetched.mockResolvedValueOnce(new Response(''));
  const { warm } = await import('./warm');
  const warmed = warm();
  await vi.waitFor(() => expect(fetched).toHaveBeenCalledTimes(1), 20_000);
  // The failed answer is heard before the event.
  await Promise.resolve();
  await new Promise((heard) => setTimeout(heard));
  dispatchEvent(new Event('online'));
  await warmed;
  expect(fetched).toHaveBeenCalledTimes(2);
});

test('it is not asked for before the service worker can keep it, and only once', async () => {
  const workers = Object.assign(new EventTarget(), { controller: null as object | null });
  const fetched = browser(workers);
  fetched.mockResolvedValue(new Response(''));
  const { warm } = await import('./warm');
  const both = [warm(), warm()];
  await new Promise((heard) => setTimeout(heard));
  expect(fetched).not.toHaveBeenCalled();
  workers.controller = {};
  workers.dispatchEvent(new Event('controllerchange'));
  await Promise.all(both);
  expect(fetched).toHaveBeenCalledTimes(1);
});
