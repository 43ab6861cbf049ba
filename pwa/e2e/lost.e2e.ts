/** A server that was set back, and phones that make up for it: of their own notes, and of those of phones that are gone. */
import { afterEach, beforeEach, expect, test } from 'vitest';
import type { Entry, PhonesView } from '../../schema/types.ts';
import { Caller } from './caller.ts';
import type { Device, Nursery } from './harness.ts';
import { BED_1, openSmallNursery, push, type Line } from './small.ts';
import { turnsTo } from './states.ts';
import { hasEverything, notesPot, phoneInABed, until } from './walking.ts';

let nursery: Nursery;

beforeEach(async () => {
  nursery = await openSmallNursery();
});
afterEach(() => nursery.close());

const pot = { head: '30', buds: '42' };

/** The notes at the server that one device wrote, by their ids. */
async function notesOf(office: Caller, device: string): Promise<string[]> {
  const { items, more } = await office.pulls();
  if (more) throw new Error('the small nursery has grown past one page; read the others too');
  return items
    .map((item) => item.entry as Entry)
    .filter((entry) => entry.device === device)
    .map((entry) => entry.id);
}

/** As if it were eleven minutes later for what this phone waits for, since a test does not wait so long. */
async function elevenMinutesPass(phone: Device): Promise<void> {
  await phone.page.evaluate(async () => {
    const open = await new Promise<IDBDatabase>((done, fail) => {
      const asked = indexedDB.open('bedwalk');
      asked.addEventListener('success', () => done(asked.result));
      asked.addEventListener('error', () => fail(asked.error));
    });
    const index = open.transaction('entries', 'readwrite').objectStore('entries').index('missing');
    await new Promise<void>((done, fail) => {
      const asked = index.openCursor();
      asked.addEventListener('error', () => fail(asked.error));
      asked.addEventListener('success', () => {
        const at = asked.result;
        if (!at) return done();
        const row = at.value as { missing: [number, number] };
        row.missing[0] -= 11 * 60_000;
        at.update(row);
        at.continue();
      });
    });
    open.close();
  });
}

/** How many notes of others the phone misses at the server. */
async function missing(phone: Device): Promise<number> {
  return phone.page.evaluate(async () => {
    const open = await new Promise<IDBDatabase>((done, fail) => {
      const asked = indexedDB.open('bedwalk');
      asked.addEventListener('success', () => done(asked.result));
      asked.addEventListener('error', () => fail(asked.error));
    });
    const asked = open.transaction('entries').objectStore('entries').index('missing').count();
    const count = await new Promise<number>((done, fail) => {
      asked.addEventListener('success', () => done(asked.result));
      asked.addEventListener('error', () => fail(asked.error));
    });
    open.close();
    return count;
  });
}

test('the server’s disk is set back to yesterday and nobody tells: a phone brings back its own notes, and those of one that is lost', async () => {
  const office = await Caller.pairs(nursery, 'supervisor');
  const phone = await phoneInABed(nursery);
  await notesPot(phone, pot);
  await hasEverything(phone);
  // In a bed of its own, so that it has begun a walk before the copy is made.
  const lost = await phoneInABed(nursery, 1);
  await hasEverything(lost);
  await nursery.server.copiesItsDisk();
  await notesPot(lost, pot);
  await notesPot(lost, pot);
  const { device: lostDevice } = await hasEverything(lost);
  await notesPot(phone, pot);
  const before = await hasEverything(phone);
  const [own, others] = [await notesOf(office, before.device), await notesOf(office, lostDevice)];
  expect(others.length).toBeGreaterThan(2);

  await phone.goesOutOfRange();
  // Whoever else had read that far would show the server that it was set back, or have the notes too.
  await lost.page.context().close();
  await nursery.server.hasItsDiskSetBack();
  // Somebody else notes so much that the phone's place in the journal is there again, with other notes before it.
  const news = Array.from({ length: 7 }, (_, i): Line => ['note', { words: `news ${i}`, bed: BED_1 }, { bed: BED_1 }]);
  await push(nursery.server, 'scout', news);
  const grown = await office.pulls();
  expect(grown.head).toBeGreaterThanOrEqual(before.head);
  expect(grown.epoch).toBe(before.epoch);

  await phone.comesIntoRange();
  await until(phone, (now) => now.head > grown.head);
  const back = await hasEverything(phone);
  expect(back.epoch).toBe(before.epoch);
  expect(await notesOf(office, back.device)).toEqual(expect.arrayContaining(own));
  const stayed = await notesOf(office, lostDevice);
  await expect.poll(() => missing(phone)).toBe(others.length - stayed.length);
  expect(stayed.length).toBeLessThan(others.length - 1);

  await elevenMinutesPass(phone);
  await turnsTo(phone, '/notes');
  await phone.taps('Send now');
  await expect.poll(async () => (await notesOf(office, lostDevice)).length).toBe(others.length);
  expect(await notesOf(office, lostDevice)).toEqual(others);
  expect((await hasEverything(phone)).head).toBe(back.head + others.length - stayed.length);
  const view = await office.view<PhonesView>('phones');
  expect(view.incidents.map(({ code, device }) => ({ code, device }))).toContainEqual({
    code: 'handed_back',
    device: back.device,
  });
  expect(view.quarantined).toEqual([]);
});

test('a phone is revoked, then the server is set back to before that: it stays shut out, and its late notes wait for the supervisor again', async () => {
  const phone = await phoneInABed(nursery);
  await notesPot(phone, pot);
  await hasEverything(phone);
  await nursery.server.backsUp();
  await notesPot(phone, pot);
  const { device } = await hasEverything(phone);
  const early = await Caller.pairs(nursery, 'supervisor');
  await early.revokes(device);
  await notesPot(phone, pot);
  const held = async (at: Caller) => (await at.view<PhonesView>('phones')).quarantined.map(({ state }) => state);
  await expect.poll(() => held(early)).toEqual(['review']);
  await until(phone, (now) => now.waiting === 0);

  await nursery.server.isSetBackToItsBackup();
  // Who was paired after the backup is not known to the restored server.
  const office = await Caller.pairs(nursery, 'supervisor');
  await turnsTo(phone, '/notes');
  await phone.taps('Send now');
  // The note that had been merged is for review now too: the server cannot know that it came before the revocation.
  await expect.poll(() => held(office)).toEqual(['review', 'review']);
  const { phones } = await office.view<PhonesView>('phones');
  expect(phones.find((each) => each.device === device)?.revoked).toBeGreaterThan(0);
  // The server shows them before the phone has heard its answer.
  await until(phone, (now) => now.waiting === 0);
});
