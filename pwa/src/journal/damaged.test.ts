/** A record whose text can no longer be read is made again, and the rest of the start goes on without it. */
import { afterEach, expect, test, vi } from 'vitest';
import { Nursery, openTab } from './nursery.testing';

const [bed, house, device] = ['2'.repeat(32), '4'.repeat(32), '00000000000000d1'];

afterEach(() => {
  vi.unstubAllGlobals();
  localStorage.clear();
});

/** A phone that has sent two registers, started again with the text of both damaged. */
async function damagedPhone(text: string) {
  const nursery = new Nursery();
  const first = await openTab(nursery, device);
  await first.write.note('house', { of: house, name: 'Heron' }, {});
  await first.write.note('bed', { of: bed, house, name: 'H1' }, { bed });
  await first.carries();
  const open = await first.base.base();
  for (const key of [`bed:${bed}`, `house:${house}`]) {
    const row = await open.get('records', key);
    if (row) await open.put('records', { ...row, text });
  }
  await first.base.close();
  const phone = await openTab(nursery, device, { disk: first.disk });
  const damaged = await import('./damaged');
  return { nursery, phone, mended: damaged.mended };
}

test.each(['{"key":"be', '', 'null', '7', '{"key":"lot:other"}'])(
  'a record of which nothing is left but %j is made again from its notes, and the server finds nothing amiss',
  async (text) => {
    const { nursery, phone, mended } = await damagedPhone(text);
    await phone.things.load();
    await vi.waitFor(() => expect(phone.things.beds.value.get(bed)?.name).toBe('H1'));
    expect(phone.things.houses.value.get(house)?.name).toBe('Heron');
    expect(mended.value).toEqual({ again: 2, asked: 0 });
    await phone.writes('one more');
    await phone.carries();
    expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
  },
);

test('one of which the phone has no note either comes again from the server', async () => {
  const { nursery, phone, mended } = await damagedPhone('{');
  const open = await phone.base.base();
  const notes = await open.getAllFromIndex('entries', 'keys', `bed:${bed}`);
  for (const { id } of notes) await open.delete('entries', id);
  await phone.things.load();
  await vi.waitFor(() => expect(mended.value).toEqual({ again: 1, asked: 1 }));
  expect(phone.things.beds.value.has(bed)).toBe(false);
  await phone.carries();
  expect(phone.things.beds.value.get(bed)?.name).toBe('H1');
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
});
