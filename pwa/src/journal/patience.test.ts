/** How long answers are waited for, and what does not wait for a request that takes long. */
import { afterEach, expect, test, vi } from 'vitest';
import { Nursery, openTab } from './nursery.testing';

const DEVICE = '00000000000000d1';

afterEach(() => {
  vi.unstubAllGlobals();
  vi.restoreAllMocks();
  localStorage.clear();
});

/** Has whatever is asked of the silent path given up at once. @returns how long requests of a path were waited for, in ms */
function waitsOf(nursery: Nursery): (path: string) => number[] {
  const waits: { at: number; ms: number }[] = [];
  vi.spyOn(AbortSignal, 'timeout').mockImplementation((ms) => {
    // The request comes after its limit.
    const at = nursery.asked.length;
    waits.push({ at, ms });
    const waiting = new AbortController();
    if (nursery.silent !== '')
      setTimeout(() => {
        if (nursery.asked[at] === nursery.silent) waiting.abort(new DOMException('', 'TimeoutError'));
      });
    return waiting.signal;
  });
  return (path) => waits.flatMap(({ at, ms }) => (nursery.asked[at] === path ? [ms] : []));
}

test('a digest that never comes in time is waited for longer each time, whatever else is answered in between', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  nursery.silent = '/api/digest';
  const waits = waitsOf(nursery);
  for (let tries = 0; tries < 5; tries++) {
    await phone.writes('another');
    await phone.syncs();
    expect(phone.sync.syncStatus.value.state).toBe('slow');
  }
  expect(waits('/api/digest')).toEqual([30_000, 60_000, 120_000, 240_000, 240_000]);
  // What is answered quickly is not waited for longer.
  expect(waits('/api/push')).toEqual([30_000, 30_000, 30_000, 30_000, 30_000]);
  nursery.silent = '';
  await phone.syncs();
  await phone.writes('the last');
  await phone.syncs();
  expect(waits('/api/digest').slice(-2)).toEqual([240_000, 30_000]);
});

test('photos do not wait for a digest that never comes in time', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  const { keepPhoto } = await import('./outbox/photos');
  await keepPhoto({ hash: 'a'.repeat(64), bytes: new ArrayBuffer(9), type: 'image/jpeg', takenAt: 1, pending: 1 });
  nursery.silent = '/api/digest';
  waitsOf(nursery);
  await phone.writes('with a photo');
  await phone.syncs();
  expect(nursery.asked).toContain('/api/digest');
  expect(nursery.asked).toContain('/api/photos');
});
