/** What is said of notes that are still to come is true of a phone to which nothing comes. */
import 'fake-indexeddb/auto';
import { afterEach, expect, test } from 'vitest';
import { initialStatus } from '../journal/worker/wake';
import { syncStatus } from '../journal/worker/syncClient';
import { access } from '../state';
import { speak } from '../words';
import { whenHere } from './whenHere';

afterEach(() => {
  access.value = '';
  syncStatus.value = initialStatus;
});

test.each([
  ['en', '', 'resting', /^soon$/],
  ['en', '', 'offline', /^soon$/],
  ['en', 'revoked', 'resting', /until it is paired again/],
  ['en', 'unpaired', 'offline', /until it is paired again/],
  ['en', '', 'full', /because it is full/],
  ['es', 'revoked', 'full', /hasta que se vuelva a vincular/],
  ['es', '', 'full', /porque está lleno/],
] as const)('in %s, with access %j and a sync worker that is %s', async (language, barred, state, said) => {
  await speak(language);
  access.value = barred;
  syncStatus.value = { ...initialStatus, state };
  expect(whenHere('soon')).toMatch(said);
});
