import { afterEach, expect, test, vi } from 'vitest';
import { me } from '../../state';
import { closedNow } from './closed';

const HOUR_MS = 3_600_000;
const NOW = Date.UTC(2026, 10, 28, 12);

vi.mock('../../journal/records/registers', async (load) => {
  const ended_at = Date.UTC(2026, 10, 28, 11);
  const sprayed = { beds: ['b'], purpose: 'growth_regulator', active: 'daminozide', entry_hours: 24, ended_at };
  return { ...(await load<object>()), applications: { value: [sprayed] } };
});

afterEach(() => {
  vi.useRealTimers();
  me.value = undefined;
});

/** A phone whose clock is off, and was so when the server last sent its own time. */
function phoneWithClock(off: number, hours: number): void {
  vi.useFakeTimers({ toFake: ['Date'], now: NOW + hours * HOUR_MS + off });
  const answer = { server_now: NOW - HOUR_MS, heard: NOW - HOUR_MS + off };
  me.value = { ...answer } as NonNullable<typeof me.value>;
}

test.each([
  ['right', 0],
  ['three days ahead', 72 * HOUR_MS],
])('with a clock that is %s a bed stays closed until its interval is over, and opens then', (_, off) => {
  const until = NOW + 23 * HOUR_MS;
  phoneWithClock(off, 0);
  expect([closedNow('b'), closedNow('other')]).toEqual([until, 0]);
  phoneWithClock(off, 22.9);
  expect(closedNow('b')).toBe(until);
  phoneWithClock(off, 23.1);
  expect(closedNow('b')).toBe(0);
});

test('a clock that is behind keeps it closed longer, never shorter', () => {
  phoneWithClock(-48 * HOUR_MS, 23.1);
  expect(closedNow('b')).toBeGreaterThan(0);
});
