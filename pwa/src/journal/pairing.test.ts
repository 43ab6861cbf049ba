import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { Me, PairAsk } from '../../../schema/types';

const me: Me = {
  device: '00000000000000d1',
  device_name: 'phone',
  inc: 1,
  person: '1'.repeat(32),
  person_name: 'Wren',
  role: 'scout',
  site_name: 'Testing House',
  epoch: 'e',
  head: 0,
  high: 0,
  server_now: 1,
  build: 'test',
};

let asked: PairAsk[];
let lost: number;

beforeEach(() => {
  [asked, lost] = [[], 0];
  vi.resetModules();
  vi.stubGlobal('indexedDB', new IDBFactory());
  vi.stubGlobal('fetch', async (_path: string, init: RequestInit) => {
    asked.push(JSON.parse(String(init.body)) as PairAsk);
    if (lost-- > 0) throw new TypeError('the answer was lost');
    return new Response(JSON.stringify(me), { headers: { 'content-type': 'application/json' } });
  });
});

afterEach(() => {
  vi.unstubAllGlobals();
  localStorage.clear();
});

test('a phone whose pairing answer was lost asks again with the same secret, even from an app that was closed', async () => {
  lost = 2;
  for (const attempt of ['first', 'second']) {
    const { pairThisPhone } = await import('./pairing');
    await expect(pairThisPhone('AAAAAAAAA', attempt)).rejects.toThrow();
    vi.resetModules();
  }
  const { pairThisPhone } = await import('./pairing');
  expect(await pairThisPhone('AAAAAAAAA', 'third')).toEqual(me);
  expect(asked[0]?.secret).toMatch(/^[0-9a-f]{64}$/);
  expect(asked.map(({ secret }) => secret)).toEqual(Array(3).fill(asked[0]?.secret));
});

test('another code gets another secret, and none is left on a phone that is paired', async () => {
  const { pairThisPhone } = await import('./pairing');
  lost = 1;
  await expect(pairThisPhone('AAAAAAAAA', 'phone')).rejects.toThrow();
  await pairThisPhone('BBBBBBBBB', 'phone');
  expect(asked[1]?.secret).not.toBe(asked[0]?.secret);
  expect(localStorage.length).toBe(0);
});

test('a phone that holds notes says of which epoch they are, and one that holds none says nothing', async () => {
  const { pairThisPhone } = await import('./pairing');
  await pairThisPhone('AAAAAAAAA', 'phone');
  await pairThisPhone('BBBBBBBBB', 'phone');
  expect(asked.map(({ epoch }) => epoch)).toEqual([undefined, 'e']);
});
