/** Beds in short are computed when nobody is tapping. */
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { Nursery, openTab } from '../nursery.testing';

const { transaction } = IDBDatabase.prototype;
const [walk, bed, lot] = ['1'.repeat(32), '2'.repeat(32), '3'.repeat(32)];

beforeEach(() => vi.stubGlobal('requestIdleCallback', (idle: () => void) => idle()));
afterEach(() => vi.unstubAllGlobals());

async function bedWithWalk() {
  const phone = await openTab(new Nursery(), '00000000000000d1');
  const briefs = await import('./briefs');
  await phone.registers.load();
  await phone.write.note('bed', { of: bed, name: '1', rows: 20, across: 4 });
  await phone.write.note('walk', { walk, bed, seed: 1, planned: 8 });
  await phone.registers.loadRest();
  const looksAt = (buds: number) => phone.write.note('observation', { walk, bed, lot, buds });
  return { phone, briefs, looksAt };
}

test('while a pot card is open no bed is computed, and afterwards it is, once for all its pots', async () => {
  const { briefs, looksAt } = await bedWithWalk();
  briefs.startBriefs();
  const written = vi.spyOn(IDBObjectStore.prototype, 'put');
  const release = briefs.holdBriefs();
  for (const buds of [40, 41, 42]) await looksAt(buds);
  release();
  await vi.waitFor(() => expect(briefs.briefs.value.get(bed)?.seen).toBe(3), 20_000);
  const stores = written.mock.contexts.map((store) => (store as IDBObjectStore).name);
  written.mockRestore();
  expect(stores.filter((name) => name === 'briefs')).toHaveLength(1);
});

test('pots of a walk under way that the app was ended before it computed are computed at the next start', async () => {
  const { phone, briefs, looksAt } = await bedWithWalk();
  briefs.startBriefs();
  await looksAt(40);
  await vi.waitFor(() => expect(briefs.briefs.value.get(bed)?.seen).toBe(1), 20_000);
  briefs.holdBriefs();
  await looksAt(41);
  const again = await openTab(new Nursery(), phone.device, { disk: phone.disk });
  const fresh = await import('./briefs');
  await again.registers.load();
  await again.registers.loadRest();
  await fresh.loadBriefs();
  expect(fresh.briefs.value.get(bed)?.seen).toBe(1);
  fresh.startBriefs();
  await vi.waitFor(() => expect(fresh.briefs.value.get(bed)?.seen).toBe(2), 20_000);
});

test('a walk under way stands beside the last whole one, which still says how the bed is', async () => {
  const { phone, briefs, looksAt } = await bedWithWalk();
  briefs.startBriefs();
  for (let i = 0; i < 9; i++) await looksAt(40 + i);
  await phone.write.note('walk_end', { walk, bed, why: 'stopped' });
  await vi.waitFor(() => expect(briefs.briefs.value.get(bed)?.whole).toBeTruthy(), 20_000);
  const before = briefs.briefs.value.get(bed);
  const next = '4'.repeat(32);
  await phone.write.note('walk', { walk: next, bed, seed: 2, planned: 30 });
  for (let i = 0; i < 6; i++) await phone.write.note('observation', { walk: next, bed, lot, buds: 45 });
  await vi.waitFor(() => expect(briefs.briefs.value.get(bed)?.inProgress?.seen).toBe(6), 20_000);
  expect(briefs.briefs.value.get(bed)).toMatchObject({
    walk,
    seen: 9,
    uniformity: before?.uniformity,
    lastWalkAt: before?.lastWalkAt,
    few: false,
    inProgress: { walk: next, seen: 6, planned: 30 },
  });
});

test('a walk that was ended before it had seen what it asked for is not a finished one, however many pots count', async () => {
  const { phone, briefs, looksAt } = await bedWithWalk();
  briefs.startBriefs();
  const ends = (of: string, why: 'planned' | 'stopped') => phone.write.note('walk_end', { walk: of, bed, why });
  const isSaid = (said: object) => vi.waitFor(() => expect(briefs.briefs.value.get(bed)).toMatchObject(said), 20_000);
  for (let i = 0; i < 5; i++) await looksAt(40 + i);
  await isSaid({ whole: null, unfinished: { about: 8 } });
  await ends(walk, 'stopped');
  // Five are enough to show a number, and its plan wanted eight.
  await isSaid({ whole: {}, seen: 5, unfinished: { about: 8 } });
  const next = '4'.repeat(32);
  await phone.write.note('walk', { walk: next, bed, seed: 2, planned: 5 });
  for (let i = 0; i < 5; i++) await phone.write.note('observation', { walk: next, bed, lot, buds: 45 });
  await ends(next, 'planned');
  await isSaid({ walk: next, unfinished: null });
});

test('a bed whose walk is just being scored is not taken for one that nobody walked', async () => {
  const { briefs, looksAt } = await bedWithWalk();
  const release = briefs.holdBriefs();
  briefs.startBriefs();
  await looksAt(40);
  const answers = new Set<boolean>();
  // Asked at every read of the disk, so also while it is at work on this bed.
  const read = vi.spyOn(IDBDatabase.prototype, 'transaction').mockImplementation(function (this: IDBDatabase, ...all) {
    if (!briefs.briefs.value.get(bed)) answers.add(briefs.isPending(bed));
    return transaction.apply(this, all);
  });
  release();
  await vi.waitFor(() => expect(briefs.briefs.value.get(bed)?.seen).toBe(1), 20_000);
  read.mockRestore();
  expect([...answers]).toEqual([true]);
  expect(briefs.isPending(bed)).toBe(false);
});

test('while a walk is here in part its bed keeps what was said, and is computed once the walk is whole', async () => {
  const { phone, briefs, looksAt } = await bedWithWalk();
  const open = await phone.base.base();
  briefs.startBriefs();
  for (const buds of [40, 41]) await looksAt(buds);
  await vi.waitFor(() => expect(briefs.briefs.value.get(bed)?.seen).toBe(2), 20_000);
  await open.put('meta', { name: 'lost', walks: new Set([walk]) }, 'partial');
  await looksAt(42);
  const again = await openTab(new Nursery(), phone.device, { disk: phone.disk });
  const fresh = await import('./briefs');
  const { publish } = await import('../store/changes');
  await again.registers.load();
  await again.registers.loadRest();
  await open.clear('briefs');
  fresh.startBriefs();
  // Twice: what is in part is asked for again with every change, and never spins.
  for (let i = 0; i < 2; i++) {
    publish({ queue: true });
    await vi.waitFor(() => expect(fresh.isPending(bed)).toBe(true), 20_000);
    expect(fresh.briefs.value.get(bed)).toBeUndefined();
  }
  await open.delete('meta', 'partial');
  publish({ partial: true });
  await vi.waitFor(() => expect(fresh.briefs.value.get(bed)?.seen).toBe(3), 20_000);
  expect(fresh.isPending(bed)).toBe(false);
});
