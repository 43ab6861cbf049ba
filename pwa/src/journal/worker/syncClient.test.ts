import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { requestSync, startSync, startWorker, syncStatus } from './syncClient';

/** A worker of which the test says when it speaks. */
class Silent extends EventTarget {
  static all: Silent[] = [];
  heard: string[] = [];
  ended = false;

  constructor() {
    super();
    Silent.all.push(this);
  }

  postMessage(reason: string): void {
    this.heard.push(reason);
  }

  terminate(): void {
    this.ended = true;
  }

  says(state: string): void {
    this.dispatchEvent(new MessageEvent('message', { data: { ...syncStatus.value, state } }));
  }
}

beforeEach(() => {
  vi.useFakeTimers();
  vi.stubGlobal('Worker', Silent);
});
afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

test('a worker that never says a word is ended, and another one carries what waits', async () => {
  const runs = startWorker();
  const [lost] = Silent.all;
  startSync();
  expect(lost?.heard).toEqual(['start']);
  await vi.advanceTimersByTimeAsync(10_000);
  const next = Silent.all[1];
  expect(lost?.ended).toBe(true);
  expect(next?.heard).toEqual(['start']);
  next?.says('resting');
  await runs;
  await vi.advanceTimersByTimeAsync(600_000);
  expect(Silent.all).toHaveLength(2);
  expect(next?.ended).toBe(false);
  requestSync('asked');
  expect(next?.heard).toEqual(['start', 'asked']);
});
