/** What is said of notes that wait follows the network: nothing is left for "in range" by a phone that is back. */
import 'fake-indexeddb/auto';
import { afterEach, expect, test } from 'vitest';
import { syncStatus } from '../../journal/worker/syncClient';
import { access, online } from '../../state';
import { initialStatus } from '../../journal/worker/wake';
import { whenSent } from './sending';

afterEach(() => {
  online.value = true;
  access.value = '';
  syncStatus.value = initialStatus;
});

test.each([
  [false, 'offline', /in range/],
  // A round that began before the network went has not ended yet.
  [false, 'syncing', /in range/],
  [true, 'syncing', /^Sending now/],
  // The phone is back, and its next try is a second away.
  [true, 'offline', /automatically/],
  [true, 'resting', /automatically/],
] as const)('with the network %s and a sync worker that is %s', (isOnline, state, said) => {
  online.value = isOnline;
  syncStatus.value = { ...initialStatus, state };
  expect(whenSent()).toMatch(said);
});

test.each([true, false])(
  'a phone that the server no longer knows sends nothing by itself, with the network %s',
  (isOnline) => {
    online.value = isOnline;
    access.value = 'unpaired';
    expect(whenSent()).toMatch(/Pair the phone again to send them/);
  },
);
