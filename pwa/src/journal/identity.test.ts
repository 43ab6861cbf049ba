/** What a phone does when the server says who it is. */
import { afterEach, expect, test, vi } from 'vitest';
import { Nursery, openTab } from './nursery.testing';

const DEVICE = '00000000000000d1';

afterEach(() => {
  vi.unstubAllGlobals();
  localStorage.clear();
});

test('a phone of whose notes the server has more than it has itself goes on under another incarnation', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  await phone.writes('one');
  await phone.syncs();
  const me = nursery.me(DEVICE, 'a'.repeat(32));
  await phone.identity.become(me);
  expect(nursery.asked).not.toContain('/api/incarnation');
  await phone.identity.become({ ...me, high: me.high + 1 });
  expect(nursery.asked).toContain('/api/incarnation');
  expect((await phone.writes('two')).entry).toMatchObject({ inc: 2, seq: 1 });
});
