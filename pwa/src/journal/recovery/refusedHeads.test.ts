/** Heads of packs that the browser refuses: their bodies say what was lost, and nothing is held up. */
import { afterEach, expect, test, vi } from 'vitest';
import { packsOf } from '../held.testing';
import { meta, type Phone } from '../letgo/phones.testing';
import { openTab } from '../nursery.testing';
import { C, expectEqual, PHONE, planted, pulled, WALK } from './compared.testing';
import { Comparing } from './comparing.testing';

vi.mock('../store/pageSize', () => ({ PAGE: 500, LEAST: 1, MOST: 4 }));

afterEach(() => {
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
  localStorage.clear();
});

/** The browser no longer gives these heads, whichever way it is asked for them. */
function refuseHeads(lost: (name: string) => boolean): void {
  const gone = () => new DOMException('its bytes are gone', 'DataError');
  const get = IDBObjectStore.prototype.get;
  vi.spyOn(IDBObjectStore.prototype, 'get').mockImplementation(function (this: IDBObjectStore, key) {
    if (this.name === 'packs' && lost(key as string)) throw gone();
    return get.call(this, key);
  });
  for (const from of [IDBObjectStore.prototype, IDBIndex.prototype]) {
    const real = from.getAll as (...asked: unknown[]) => IDBRequest<unknown[]>;
    vi.spyOn(from as IDBObjectStore, 'getAll').mockImplementation(function (this: IDBObjectStore & IDBIndex, ...asked) {
      const isOfPacks = this.name === 'packs' || this.objectStore?.name === 'packs';
      if (isOfPacks && kept.some(lost)) throw gone();
      return real.apply(this, asked);
    });
  }
  const remove = IDBObjectStore.prototype.delete;
  vi.spyOn(IDBObjectStore.prototype, 'delete').mockImplementation(function (this: IDBObjectStore, key) {
    if (this.name === 'packs') kept = kept.filter((name) => name !== key);
    return remove.call(this, key);
  });
}
/** The heads that a phone has, for what is refused to whoever asks for all of them. */
let kept: string[] = [];

async function headsKept(phone: Phone): Promise<string[]> {
  kept = await (await phone.base.base()).getAllKeys('packs');
  return kept;
}

/** Names heads as an earlier build did. */
async function nameAsBefore(phone: Phone): Promise<void> {
  const open = await phone.base.base();
  for (const { head } of await packsOf(phone)) {
    await open.delete('packs', head.name);
    await open.put('packs', { ...head, name: [...head.body].toReversed().join('') });
  }
}

test.each<[string, (phone: Phone) => Promise<void>]>([
  ['this', async () => undefined],
  ['an earlier', nameAsBefore],
])('a head of %s build that the browser refuses holds up no rewind, and what waits is sent', async (_, rename) => {
  const nursery = new Comparing();
  planted(nursery);
  const restore = nursery.backup();
  nursery.hears('note', { words: 'lost' }, { lot: C });
  const phone = await openTab(nursery, PHONE);
  await phone.syncs();
  restore();
  await phone.writes('kept here');
  await rename(phone);
  const again = await openTab(nursery, PHONE, { disk: phone.disk });
  const [head = ''] = await headsKept(again);
  refuseHeads((name) => name === head);
  for (let rounds = 0; rounds < 3; rounds++) await again.syncs();
  expect([await again.pending(), again.sync.syncStatus.value.state]).toEqual([0, 'resting']);
  expect(await again.read.potsOfWalk(WALK)).toHaveLength(15);
  expect(await headsKept(again)).not.toContain(head);
});

test('a walk of which the browser refuses a head is in part until its pots are here again', async () => {
  const { nursery, phone } = await pulled();
  const again = await openTab(nursery, PHONE, { disk: phone.disk });
  const [head = ''] = await headsKept(again);
  refuseHeads((name) => name === head);
  expect(await again.read.potsOfWalk(WALK)).toBeNull();
  for (let rounds = 0; rounds < 3; rounds++) await again.syncs();
  expect(await again.read.potsOfWalk(WALK)).toHaveLength(15);
  await expectEqual(nursery, again);
});

test('a refused head is not taken away before what lay in its pack is counted as lost, which a full phone cannot write', async () => {
  const { nursery, phone } = await pulled();
  const again = await openTab(nursery, PHONE, { disk: phone.disk });
  // Names alone do not show that one of the heads cannot be read.
  await again.syncs();
  const [head = ''] = await headsKept(again);
  refuseHeads((name) => name === head);
  expect(await again.read.potsOfWalk(WALK)).toBeNull();
  const put = vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(() => {
    throw new DOMException('full', 'QuotaExceededError');
  });
  for (let rounds = 0; rounds < 2; rounds++) {
    await again.syncs();
    expect(await again.read.potsOfWalk(WALK)).toBeNull();
  }
  expect(again.sync.syncStatus.value.state).toBe('full');
  put.mockRestore();
  for (let rounds = 0; rounds < 3; rounds++) await again.syncs();
  expect(await again.read.potsOfWalk(WALK)).toHaveLength(15);
  await expectEqual(nursery, again);
});

test('a pack of which the head is refused and the body gone is not lost in silence', async () => {
  const { nursery, phone } = await pulled();
  const again = await openTab(nursery, PHONE, { disk: phone.disk });
  const [head = ''] = await headsKept(again);
  refuseHeads((name) => name === head);
  await (await again.base.base()).delete('packed', head.slice(0, 32));
  for (let rounds = 0; rounds < 4; rounds++) {
    await again.syncs();
    expect([undefined, 15]).toContain((await again.read.potsOfWalk(WALK))?.length);
  }
  expect(await again.read.potsOfWalk(WALK)).toHaveLength(15);
  await expectEqual(nursery, again);
});

test('two that find the same refused head at once have the journal read again by none', async () => {
  const { nursery, phone } = await pulled();
  const again = await openTab(nursery, PHONE, { disk: phone.disk });
  const [head = ''] = await headsKept(again);
  refuseHeads((name) => name === head);
  const { repairPacks } = await import('./packs');
  await Promise.all([repairPacks(), repairPacks()]);
  expect(await headsKept(again)).not.toContain(head);
  expect(await meta(again, 'recovery')).toBeUndefined();
  for (let rounds = 0; rounds < 3; rounds++) await again.syncs();
  await expectEqual(nursery, again);
});
