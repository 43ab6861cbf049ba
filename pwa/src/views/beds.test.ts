/** Of the list of beds the server sends what changed; what was held and the change are together what a whole answer says. */
import 'fake-indexeddb/auto';
import { afterEach, expect, test, vi } from 'vitest';
import type { BedsView } from '../../../schema/types';
import { json } from '../journal/answers.testing';
import * as sample from '../screens/supervisor/sample.testing';
import { withChanges } from './beds';
import { refresh } from './views';

afterEach(() => vi.unstubAllGlobals());

const held: BedsView = { ...sample.bedsView, version: 'a.1' };
const bed = held.houses[0]!.beds[0]!;
const renamed = { ...bed, name: 'renamed' };
const change: BedsView = {
  ...held,
  version: 'a.2',
  since: 'a.1',
  head: held.head + 1,
  houses: [],
  beds: [renamed],
};
const whole: BedsView = {
  ...held,
  version: 'a.2',
  head: held.head + 1,
  houses: held.houses.map((house) => ({
    ...house,
    beds: house.beds.map((each) => (each.id === bed.id ? renamed : each)),
  })),
};

test('a change is put into what is held, and all else stays as it is', () => {
  expect(withChanges(held, change)).toEqual(whole);
});

test.each([
  ['since another version', { ...change, since: 'a.0' }],
  ['of a bed that is not held', { ...change, beds: [{ ...bed, id: 'another' }] }],
])('a change %s is not put in', (_, other) => {
  expect(withChanges(held, other)).toBeUndefined();
});

test('the version that is held is named, and a change that does not fit has everything asked for again', async () => {
  const asked: string[] = [];
  const answers = [held, change, { ...change, since: 'b.7' }, { ...whole, version: 'b.1' }];
  vi.stubGlobal('fetch', async (path: string) => {
    asked.push(path);
    return json(answers[asked.length - 1]);
  });
  await refresh('beds');
  await refresh('beds');
  await refresh('beds');
  expect(asked).toEqual([
    '/api/views/beds',
    '/api/views/beds?since=a.1',
    '/api/views/beds?since=a.2',
    '/api/views/beds',
  ]);
});
