/** While a device reads the server's records for the first time, what they do not show yet is not known. */
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { Nursery, openTab } from '../../../journal/nursery.testing';

const id = (digit: string) => digit.repeat(32);
const [ana, bed, lot, span, ended, fresh] = [id('a'), id('2'), id('3'), id('4'), id('5'), id('6')];

beforeEach(() => vi.stubGlobal('requestIdleCallback', (idle: () => void) => idle()));
afterEach(() => vi.unstubAllGlobals());

/** A nursery in which Ana walked a bed and ended the walk; between its opening and its end lies more than a first page. */
async function nurseryWithAWalk(): Promise<Nursery> {
  const nursery = new Nursery();
  const { write, syncs } = await openTab(nursery, '00000000000000d1', { person: ana });
  await write.note('bed', { of: bed, name: 'H5', rows: 60, across: 10 });
  await write.note('lot', { of: lot, tag: 'AZ-101', crop: 'azalea' });
  await write.note('span', { of: span, lot, bed, from_row: 1, to_row: 60 });
  await write.note('walk', { walk: ended, bed, seed: 1, planned: 8 });
  for (let row = 1; row <= 8; row++)
    await write.note('observation', { walk: ended, bed, lot, place: { row, across: 1 }, chlorosis: 'none' });
  for (let n = 0; n < 100; n++) await write.note('note', { words: `note ${n}` });
  await write.note('walk_end', { walk: ended, bed, why: 'enough' });
  await syncs();
  return nursery;
}

/** Ana's new phone, out of range again after so many pages of the records. */
async function newPhone(nursery: Nursery, pages: number) {
  const phone = await openTab(nursery, '00000000000000d2', { person: ana });
  let asked = 0;
  const answer = (path: string, init?: RequestInit) => nursery.answer('00000000000000d2', ana, path, init);
  vi.stubGlobal('fetch', (path: string, init?: RequestInit) =>
    path.startsWith('/api/pull') && ++asked > pages
      ? Promise.reject(new TypeError('Failed to fetch'))
      : answer(path, init),
  );
  const arriving = await import('../../../journal/inbox/arriving');
  const briefs = await import('../../../journal/records/briefs');
  const { bedLines } = await import('./due');
  const { openWalks } = await import('../walk/openWalks');
  await Promise.all([phone.registers.load(), arriving.followArriving()]);
  await phone.registers.loadRest();
  briefs.startBriefs();
  return {
    ...phone,
    ...arriving,
    due: () => bedLines(Date.now())[0]?.due,
    open: () => openWalks(ana).map((walk) => walk.id),
  };
}

test('nothing is due, and an ended walk is not open, while its end is still to come', async () => {
  const phone = await newPhone(await nurseryWithAWalk(), 1);
  await phone.sync.sync('asked');
  await vi.waitFor(() => expect(phone.firstReading.value).toBeCloseTo(100 / 113, 9));
  expect([phone.due(), phone.open()]).toEqual(['pending', []]);
});

test('a walk that was begun on the new phone meanwhile is open', async () => {
  const phone = await newPhone(await nurseryWithAWalk(), 1);
  await phone.sync.sync('asked');
  await phone.write.note('walk', { walk: fresh, bed, seed: 2, planned: 8 });
  expect(phone.open()).toEqual([fresh]);
});

test('once all is here the bed is known to have been walked, out of range and after a restart too', async () => {
  const nursery = await nurseryWithAWalk();
  const phone = await newPhone(nursery, 2);
  await phone.sync.sync('asked');
  await vi.waitFor(() => expect(phone.firstReading.value).toBeUndefined());
  await vi.waitFor(() => expect(phone.due()).toBe(''));
  nursery.trouble = 'offline';
  const again = await openTab(nursery, '00000000000000d2', { person: ana, disk: phone.disk });
  const { followArriving, firstReading } = await import('../../../journal/inbox/arriving');
  await followArriving();
  expect(firstReading.value).toBeUndefined();
  expect(await again.pending()).toBe(0);
});

test('a phone that is behind by many notes knows what it knew', async () => {
  const nursery = await nurseryWithAWalk();
  const phone = await newPhone(nursery, 2);
  await phone.sync.sync('asked');
  const other = await openTab(nursery, '00000000000000d1', { person: ana });
  for (let n = 0; n < 120; n++) await other.writes(`later ${n}`);
  await other.syncs();
  phone.use();
  await phone.sync.sync('asked');
  await vi.waitFor(() => expect(phone.due()).toBe(''));
  expect(phone.firstReading.value).toBeUndefined();
});
