/** What a phone does for a server that was set back: of its own notes, and of others'. */
import { afterEach, expect, test, vi } from 'vitest';
import type { Entry } from '../../../../schema/types';
import { Nursery, openTab } from '../nursery.testing';
import type { Cursor } from '../store/shape';

const DEVICE = '00000000000000d1';
const OTHER = '00000000000000d2';
const THIRD = '00000000000000d3';

afterEach(() => {
  vi.unstubAllGlobals();
  localStorage.clear();
});

function another(nursery: Nursery, device = OTHER) {
  return openTab(nursery, device, { person: device.slice(-1).repeat(32) });
}

function words(nursery: Nursery): string[] {
  return nursery.journal.map((item) => (item.entry as { body: { words: string } }).body.words).sort();
}

test('a phone that starts finds that the server has acknowledged less than before, and sends it again', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  await phone.writes('before');
  await phone.syncs();
  const setBack = nursery.backup();
  await phone.writes('after');
  await phone.syncs();
  setBack('whole disk');
  // Others have written since, so that the phone's cursor is not past the head.
  const other = await another(nursery);
  await other.writes('by another');
  await other.syncs();
  const again = await openTab(nursery, DEVICE, { disk: phone.disk });
  await again.syncs();
  expect(words(nursery)).toEqual(['after', 'before', 'by another']);
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
});

test('a phone that never slept finds it by its sums, and reads the journal again', async () => {
  const nursery = new Nursery();
  // Opened last: what a phone fetches only when it is needed comes to the phone that was opened last.
  const other = await another(nursery);
  const phone = await openTab(nursery, DEVICE);
  const setBack = nursery.backup();
  await phone.writes('lost');
  await phone.syncs();
  setBack('whole disk');
  for (const each of ['one', 'two']) {
    other.use();
    await other.writes(each);
    await other.syncs();
  }
  await phone.syncs();
  expect(words(nursery)).toEqual(['lost', 'one', 'two']);
  await phone.syncs();
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
});

test('a note that is given a place which the phone has read past makes it read the journal again', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  const other = await another(nursery);
  const setBack = nursery.backup();
  for (const each of ['a', 'b', 'c']) await phone.writes(each);
  await phone.syncs();
  setBack('whole disk');
  await other.writes('in the place of a');
  await other.syncs();
  phone.use();
  const { entry } = await phone.writes('d');
  await phone.syncs();
  expect(words(nursery)).toEqual(['a', 'b', 'c', 'd', 'in the place of a']);
  expect(nursery.digests.every(({ equal }) => equal)).toBe(true);
  const place = nursery.journal.find((item) => (item.entry as Entry).id === entry.id)?.position;
  expect((await phone.entry(entry.id))?.position).toBe(place);
});

test("another phone's notes that a restored server lost are waited for, then given back under its name", async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  const gone = await another(nursery);
  await gone.writes('before');
  await gone.syncs();
  const restore = nursery.backup();
  const { entry } = await gone.writes('lost');
  await gone.syncs();
  await phone.syncs();
  restore();
  await phone.syncs();
  expect(words(nursery)).toEqual(['before']);
  // Nobody vanishes from the screen meanwhile.
  expect((await phone.record(`fact:${entry.id}`))?.fact).toBeDefined();
  nursery.minutesPass(11);
  await phone.syncs();
  expect(nursery.asked).toContain('/api/in/lost');
  expect(nursery.journal.map((item) => item.entry)).toContainEqual(entry);
  expect(await phone.entry(entry.id)).toMatchObject({ position: 2 });
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
  // Its own phone was not gone after all.
  await gone.syncs();
  expect(words(nursery)).toEqual(['before', 'lost']);
});

test('a note that an earlier build pulled without a receipt is given back without one, and waits for the supervisor', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  const gone = await another(nursery, THIRD);
  const restore = nursery.backup();
  const { entry } = await gone.writes('lost');
  await gone.syncs();
  await phone.syncs();
  const open = await phone.base.base();
  const { receipt, ...row } = (await open.get('entries', entry.id))!;
  expect(receipt).toEqual([1, expect.stringMatching(/^.{6}$/)]);
  await open.put('entries', row);
  restore();
  await phone.syncs();
  nursery.minutesPass(11);
  await phone.syncs();
  expect([...nursery.unproven]).toEqual([entry.id]);
  expect(nursery.journal).toEqual([]);
  expect(await phone.entry(entry.id)).toMatchObject({ state: 'returned', entry });
});

test('a note for which the server has no room stays on the phone and is given back again later', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  const gone = await another(nursery, THIRD);
  const restore = nursery.backup();
  const { entry } = await gone.writes('lost');
  await gone.syncs();
  await phone.syncs();
  restore();
  await phone.syncs();
  nursery.full = true;
  nursery.minutesPass(11);
  await phone.syncs();
  expect(nursery.journal).toEqual([]);
  expect((await phone.record(`fact:${entry.id}`))?.fact).toBeDefined();
  nursery.full = false;
  await phone.syncs();
  expect(words(nursery)).toEqual(['lost']);
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
});

test('a cursor past the server’s end is proved by the receipt of the entry at it, and without one the phone is led back all the same', async () => {
  for (const proven of [true, false]) {
    const nursery = new Nursery();
    const phone = await openTab(nursery, DEVICE);
    const other = await another(nursery);
    await other.writes('kept');
    await other.syncs();
    const setBack = nursery.backup();
    await phone.writes('own');
    await phone.syncs();
    if (!proven) {
      // As an earlier build left it.
      const open = await phone.base.base();
      const { proof: _proof, ...cursor } = (await open.get('meta', 'cursor')) as Cursor;
      await open.put('meta', cursor, 'cursor');
    }
    setBack('whole disk');
    await phone.syncs();
    expect(nursery.epoch !== 'e1').toBe(proven);
    expect(words(nursery)).toEqual(['kept', 'own']);
    expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
  }
});

test('what its own phone has sent again meanwhile is not given back by others', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  const other = await another(nursery);
  const restore = nursery.backup();
  await other.writes('lost');
  await other.syncs();
  await phone.syncs();
  restore();
  await phone.syncs();
  await other.syncs();
  nursery.minutesPass(11);
  await phone.syncs();
  expect(nursery.asked).not.toContain('/api/in/lost');
  expect(words(nursery)).toEqual(['lost']);
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
});

test('a note given back that the server keeps aside is in no record until the server shows it', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  const gone = await another(nursery, THIRD);
  const restore = nursery.backup();
  const { entry } = await gone.writes('lost');
  await gone.syncs();
  await phone.syncs();
  restore();
  nursery.held.add(entry.id);
  await phone.syncs();
  nursery.minutesPass(11);
  await phone.syncs();
  expect((await phone.record(`fact:${entry.id}`))?.fact).toBeUndefined();
  expect(await phone.entry(entry.id)).toMatchObject({ state: 'returned', entry });
  nursery.minutesPass(11);
  await phone.syncs();
  expect(nursery.asked.filter((path) => path === '/api/in/lost')).toHaveLength(1);
  nursery.held.clear();
  nursery.merge({ at: 5, quality: 'exact', from: 5, to: 5 }, entry);
  await phone.syncs();
  expect((await phone.record(`fact:${entry.id}`))?.fact).toBeDefined();
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
});

test('a revoked phone learns of the restored backup from its refusal, and sends again what the server lost', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  await phone.writes('before');
  await phone.syncs();
  const restore = nursery.backup();
  const { entry: merged } = await phone.writes('merged');
  await phone.syncs();
  nursery.revoked.add(DEVICE);
  const { entry: reviewed } = await phone.writes('for review');
  await phone.syncs();
  expect(await phone.entry(reviewed.id)).toMatchObject({ state: 'inReview' });
  restore();
  const askedBefore = nursery.asked.length;
  await phone.syncs();
  await phone.syncs();
  expect(nursery.asked.slice(askedBefore)).toContain('/api/push');
  expect(nursery.me(DEVICE, '').high).toBe(3);
  for (const { id } of [merged, reviewed])
    expect(await phone.entry(id)).toMatchObject({ state: 'inReview', position: 0 });
  expect(await phone.pending()).toBe(0);
  // And then it is content.
  const before = nursery.asked.filter((path) => path === '/api/push').length;
  await phone.syncs();
  expect(nursery.asked.filter((path) => path === '/api/push')).toHaveLength(before);
});

test('after a fork a note goes again as the phone chained it, not under the number that the server shows it by', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  const restore = nursery.backup();
  await phone.syncs();
  const { entry } = await phone.writes('one');
  nursery.trouble = 'lost_answer';
  await phone.syncs();
  nursery.trouble = 'none';
  // The answer was lost and the phone took other numbers: the server shows the note by its first.
  phone.use();
  await phone.rekey.takeIncarnation(2);
  await phone.syncs();
  expect((await phone.entry(entry.id))?.entry).toMatchObject({ inc: 1, seq: 1 });
  restore();
  await phone.syncs();
  expect(nursery.journal.map((item) => item.entry)).toEqual([{ ...entry, inc: 2, seq: 1 }]);
  expect(await phone.pending()).toBe(0);
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
});

test('a note that the supervisor leaves out says so on the phone of its writer, and is in no record there', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  const { entry } = await phone.writes('odd');
  nursery.held.add(entry.id);
  await phone.syncs();
  expect((await phone.record(`fact:${entry.id}`))?.fact).toBeDefined();
  nursery.left.add(entry.id);
  await phone.syncs();
  expect(await phone.entry(entry.id)).toMatchObject({ state: 'rejected', entry });
  expect((await phone.record(`fact:${entry.id}`))?.fact).toBeUndefined();
  const asked = nursery.asked.filter((path) => path === '/api/quarantine').length;
  await phone.writes('fine');
  await phone.syncs();
  expect(nursery.asked.filter((path) => path === '/api/quarantine')).toHaveLength(asked);
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
});

test('of more notes in quarantine than one question has room for, the last too learns what became of it', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  const ids = [];
  for (let i = 0; i < 501; i++) ids.push((await phone.writes(`odd ${i}`)).entry.id);
  for (const id of ids) nursery.held.add(id);
  await phone.syncs();
  // The phone asks in the order of ids, which are random.
  const last = ids.toSorted().at(-1)!;
  nursery.left.add(last);
  await phone.syncs();
  expect(await phone.entry(last)).toMatchObject({ state: 'rejected' });
});

test('a revoked phone learns that a late note was merged, though it can fetch nothing any more', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  await phone.syncs();
  nursery.revoked.add(DEVICE);
  const { entry } = await phone.writes('late');
  await phone.syncs();
  expect((await phone.entry(entry.id))?.state).toBe('inReview');
  nursery.merges(entry);
  await phone.syncs();
  expect((await phone.entry(entry.id))?.state).toBeUndefined();
  expect(await phone.pending()).toBe(0);
});

test('a note whose bytes a faulty build spoiled keeps what was meant, and is sent again as it is after a restore', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  const restore = nursery.backup();
  const { entry } = await phone.writes('meant');
  const open = await phone.base.base();
  const row = await open.get('entries', entry.id);
  await open.put('entries', { ...row!, text: '{"id":7}' });
  nursery.unread.add(7 as never);
  await phone.syncs();
  expect(await phone.entry(entry.id)).toMatchObject({ state: 'quarantined', entry });
  restore();
  await phone.syncs();
  expect(nursery.asked.filter((path) => path === '/api/push')).toHaveLength(2);
  expect(await phone.entry(entry.id)).toMatchObject({ state: 'quarantined', entry });
  expect(await phone.pending()).toBe(0);
});
