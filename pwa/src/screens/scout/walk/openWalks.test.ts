import { afterEach, expect, test, vi } from 'vitest';
import type { WalkRow } from '../../../journal/records/walks';
import { me } from '../../../state';
import { isPast } from './openWalks';

const DAY_MS = 86_400_000;
const NOW = Date.UTC(2026, 10, 28);

afterEach(() => {
  vi.useRealTimers();
  me.value = undefined;
});

/** A walk that was begun so many days before the true time. */
function begun(days: number, quality: 'exact' | 'pending', clock = 0): WalkRow {
  const at = NOW - days * DAY_MS + clock;
  const by = { entry: '', person: '', device: '', stamp: { at, quality, from: at, to: at } };
  return { id: '', bed: '', at, by };
}

/** A phone whose clock is off, and was so when the server last sent its own time. */
function phoneWithClock(off: number): void {
  vi.useFakeTimers({ toFake: ['Date'], now: NOW + off });
  const answer = { server_now: NOW - DAY_MS, heard: NOW - DAY_MS + off };
  me.value = { ...answer } as NonNullable<typeof me.value>;
}

test.each([
  ['right', 0],
  ['a year ahead', 365 * DAY_MS],
  ['a year behind', -365 * DAY_MS],
])('with a clock that is %s a walk is too old from its fifteenth day on, sent or not', (_, off) => {
  phoneWithClock(off);
  expect([13, 14, 15].map((days) => isPast(begun(days, 'exact')))).toEqual([false, true, true]);
  expect([13, 14, 15].map((days) => isPast(begun(days, 'pending', off)))).toEqual([false, true, true]);
});

test('until the server has sent its time the phone uses its own', () => {
  vi.useFakeTimers({ toFake: ['Date'], now: NOW });
  expect([13, 14].map((days) => isPast(begun(days, 'exact')))).toEqual([false, true]);
});
