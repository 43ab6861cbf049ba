/** A record whose text can no longer be read is made again, and the rest of the start goes on without it. */
import { afterEach, expect, test, vi } from 'vitest';
import { Nursery, openTab } from '../nursery.testing';

const [bed, house, device] = ['2'.repeat(32), '4'.repeat(32), '00000000000000d1'];

/** For what has stopped, never for what is slow. */
const stopped = { timeout: 60_000 };

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
  await first.syncs();
  const open = await first.base.base();
  for (const key of [`bed:${bed}`, `house:${house}`]) {
    const row = await open.get('records', key);
    if (row) await open.put('records', { ...row, text });
  }
  await first.base.close();
  const phone = await openTab(nursery, device, { disk: first.disk });
  const damaged = await import('./damaged');
  return { nursery, phone, repaired: damaged.repaired };
}

test.each(['{"key":"be', '', 'null', '7', '{"key":"lot:other"}'])(
  'a record of which nothing is left but %j is made again from its notes, and the server finds nothing amiss',
  async (text) => {
    const { nursery, phone, repaired } = await damagedPhone(text);
    await phone.registers.load();
    await vi.waitFor(() => expect(phone.registers.beds.value.get(bed)?.name).toBe('H1'), stopped);
    expect(phone.registers.houses.value.get(house)?.name).toBe('Heron');
    expect(repaired.value).toEqual({ again: 2, asked: 0 });
    await phone.writes('one more');
    await phone.syncs();
    expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
  },
);

test('one of which the phone has no note either comes again from the server', async () => {
  const { nursery, phone, repaired } = await damagedPhone('{');
  const open = await phone.base.base();
  const notes = await open.getAllFromIndex('entries', 'keys', `bed:${bed}`);
  for (const { id } of notes) await open.delete('entries', id);
  await phone.registers.load();
  await vi.waitFor(() => expect(repaired.value).toEqual({ again: 1, asked: 1 }), stopped);
  expect(phone.registers.beds.value.has(bed)).toBe(false);
  await phone.syncs();
  expect(phone.registers.beds.value.get(bed)?.name).toBe('H1');
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
});

test('a record that the sync worker repairs first, because a new note is about it, is counted on the screen too', async () => {
  const { nursery, phone, repaired } = await damagedPhone('{');
  const worker = await openTab(nursery, device, { disk: phone.disk });
  merged(nursery, 'bed', { of: bed, far_end: 'fan' });
  await worker.syncs();
  await vi.waitFor(() => expect(repaired.value).toEqual({ again: 1, asked: 0 }), stopped);
  phone.use();
  await phone.registers.load();
  expect(phone.registers.beds.value.get(bed)).toMatchObject({ name: 'H1', far_end: 'fan' });
  await vi.waitFor(() => expect(phone.registers.houses.value.get(house)?.name).toBe('Heron'), stopped);
  expect(repaired.value).toEqual({ again: 2, asked: 0 });
});

test('a repair that the storage refuses is tried again by itself: the screen reads its registers only once', async () => {
  const { phone, repaired } = await damagedPhone('{');
  const { transaction } = IDBDatabase.prototype;
  let refused = 0;
  const full = vi.spyOn(IDBDatabase.prototype, 'transaction').mockImplementation(function (
    this: IDBDatabase,
    ...asked
  ) {
    if (asked[1] !== 'readwrite') return transaction.apply(this, asked);
    refused++;
    throw new DOMException('full', 'QuotaExceededError');
  });
  await phone.registers.load();
  await vi.waitFor(() => expect(refused).toBeGreaterThan(0), stopped);
  expect(phone.registers.beds.value.has(bed)).toBe(false);
  full.mockRestore();
  await vi.waitFor(() => expect(phone.registers.beds.value.get(bed)?.name).toBe('H1'), stopped);
  expect(repaired.value).toEqual({ again: 2, asked: 0 });
});

/** An entry in the server's journal as another phone wrote it and an older, or later, server merged it. */
function merged(nursery: Nursery, kind: string, body: unknown, lot?: string): void {
  const position = nursery.journal.length + 1;
  const entry = {
    id: `${position}`.padStart(32, '0'),
    device: '00000000000000d9',
    inc: 1,
    seq: position,
    v: 1,
    kind,
    person: 'b'.repeat(32),
    ...(lot === undefined ? {} : { lot }),
    wall: 1,
    session: 's',
    mono: 0,
    floor: 0,
    body,
  };
  const at = 1_800_000_000_000 + position;
  nursery.journal.push({ position, stamp: { at, quality: 'exact', from: at, to: at }, entry });
}

const lot = '1'.repeat(32);

test('an entry that cannot be folded is kept, its record counted as damaged, and the pull continues without a loop', async () => {
  const nursery = new Nursery();
  // More pots than can be added up, a lot named like a part of JavaScript, and deeper than any entry may be.
  merged(nursery, 'count', { lot, change: Number.MAX_SAFE_INTEGER, reason: 'found' }, lot);
  merged(nursery, 'count', { lot, change: Number.MAX_SAFE_INTEGER, reason: 'found' }, lot);
  merged(nursery, 'note', { words: 'odd lot' }, '__proto__');
  merged(nursery, 'note', { words: 'odd lot again' }, 'constructor');
  merged(nursery, 'note', { words: 'deep', x: JSON.parse('['.repeat(19) + ']'.repeat(19)) as unknown });
  for (let i = 0; i < 120; i++) merged(nursery, 'note', { words: `note ${i}` }, lot);
  const phone = await openTab(nursery, device);
  const damaged = await import('./damaged');
  await damaged.watchUnfolded();
  await phone.syncs();
  expect((await phone.pull.cursorNow()).position).toBe(125);
  await vi.waitFor(() => expect(damaged.unfolded.value).toBe(2), stopped);
  expect(await phone.record(`stock:${lot}`)).toBeUndefined();
  expect(await phone.record(`fact:${'125'.padStart(32, '0')}`)).toBeDefined();
  for (const id of ['1', '2', '5']) expect(await phone.entry(id.padStart(32, '0'))).toBeDefined();

  // Read again once for what differs, and not with every note that comes after.
  const pulls = () => nursery.asked.filter((path) => path === '/api/pull').length;
  for (let i = 0; i < 4; i++) {
    const before = pulls();
    merged(nursery, 'note', { words: 'later' }, lot);
    await phone.syncs();
    expect(pulls() - before).toBe(1);
  }
  expect((await phone.pull.cursorNow()).position).toBe(129);

  // A screen that meets the row does not have the whole journal read again either.
  const row = await (await phone.base.base()).get('records', `stock:${lot}`);
  const before = pulls();
  expect(damaged.decodeRows(row ? [row] : [])).toEqual([]);
  await phone.syncs();
  expect(pulls() - before).toBe(1);

  // Struck out, the record is a good one again.
  merged(nursery, 'void', { names: '1'.padStart(32, '0'), records: [`stock:${lot}`], why: 'mistake' }, lot);
  await phone.syncs();
  expect((await phone.record(`stock:${lot}`))?.stock?.pots).toBe(Number.MAX_SAFE_INTEGER);
  await vi.waitFor(() => expect(damaged.unfolded.value).toBe(1), stopped);
});
