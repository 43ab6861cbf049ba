/** What a phone does while the server takes its notes no longer, and everything else goes on. */
import { afterEach, expect, test, vi } from 'vitest';
import { Nursery, openTab } from '../nursery.testing';

const DEVICE = '00000000000000d1';
const OTHER = '00000000000000d2';

afterEach(() => {
  vi.unstubAllGlobals();
  localStorage.clear();
});

test.each(['quarantine_full', 'server_clock'] as const)(
  'a phone whose notes are refused with %s keeps them, says why, and goes on reading those of others',
  async (code) => {
    const nursery = new Nursery();
    const phone = await openTab(nursery, DEVICE);
    const other = await openTab(nursery, OTHER, { person: 'b'.repeat(32) });
    const { entry } = await other.writes('by another');
    await other.syncs();
    phone.use();
    await phone.writes('kept here');
    nursery.trouble = code;
    await phone.syncs();
    expect(await phone.entry(entry.id)).toMatchObject({ position: 1 });
    expect(await phone.pending()).toBe(1);
    expect(phone.sync.syncStatus.value).toMatchObject({ state: 'busy', code });
    expect(nursery.digests.at(-1)?.equal).toBe(true);
    nursery.trouble = 'none';
    await phone.syncs();
    expect(await phone.pending()).toBe(0);
    expect(phone.sync.syncStatus.value).toMatchObject({ state: 'resting', code: '' });
  },
);

test('a revoked phone whose share of the quarantine is full says both', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  await phone.writes('kept here');
  nursery.revoked.add(DEVICE);
  nursery.trouble = 'quarantine_full';
  await phone.syncs();
  expect(await phone.pending()).toBe(1);
  expect(phone.sync.syncStatus.value).toMatchObject({ state: 'revoked', code: 'quarantine_full' });
});
