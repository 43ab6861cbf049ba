/** A phone's database from an earlier build goes on with everything that was in it. */
import { afterEach, expect, test, vi } from 'vitest';
import { IDBFactory } from 'fake-indexeddb';
import type { Walk, WalkEnd } from '../../../../schema/types';
import { Nursery, openTab } from '../nursery.testing';
import { rowOf } from './refold';

const [bed, device] = ['2'.repeat(32), '00000000000000d1'];
const by = { entry: '5'.repeat(32), person: '', device, stamp: { at: 1, quality: 'exact' as const, from: 1, to: 1 } };

afterEach(() => vi.unstubAllGlobals());

/** The database as the first build made it, with these walks in it. */
function firstBuild(walks: readonly object[]): Promise<IDBFactory> {
  const disk = new IDBFactory();
  return new Promise((done, fail) => {
    const asked = disk.open('bedwalk', 1);
    asked.addEventListener('upgradeneeded', () => {
      const entries = asked.result.createObjectStore('entries', { keyPath: 'id' });
      entries.createIndex('keys', 'keys', { multiEntry: true });
      for (const index of ['pending', 'own', 'parked', 'state']) entries.createIndex(index, index);
      const records = asked.result.createObjectStore('records', { keyPath: 'key' });
      for (const index of ['walk', 'fact', 'factBed', 'factLot']) records.createIndex(index, index);
      asked.result.createObjectStore('meta');
      asked.result.createObjectStore('drafts', { keyPath: 'walk' });
      asked.result.createObjectStore('briefs', { keyPath: 'bed' });
      for (const walk of walks) records.put(walk);
    });
    asked.addEventListener('success', () => {
      asked.result.close();
      done(disk);
    });
    asked.addEventListener('error', () => fail(asked.error ?? new Error('the database could not be made')));
  });
}

function walkRow(id: string, ended: boolean): object {
  const open: Walk = { walk: id, bed, seed: 1, planned: 8 };
  const end: WalkEnd = { walk: id, bed, why: 'enough' };
  const { inProgress: _unknownThen, ...row } = rowOf({
    key: `walk:${id}`,
    walk: { open, by, ...(ended ? { end } : {}) },
  });
  return row;
}

test('walks under way are found at a start, of an earlier build too', async () => {
  const [inProgress, over] = ['1'.repeat(32), '3'.repeat(32)];
  const disk = await firstBuild([walkRow(inProgress, false), walkRow(over, true)]);
  const phone = await openTab(new Nursery(), device, { disk });
  await phone.things.load();
  expect([...phone.things.walks.value.keys()]).toEqual([inProgress]);
  await phone.things.loadRest();
  expect([...phone.things.walks.value.keys()].sort()).toEqual([inProgress, over]);
});

test('a walk that ends is no longer under way at the next start', async () => {
  const walk = '1'.repeat(32);
  const phone = await openTab(new Nursery(), device);
  await phone.write.note('walk', { walk, bed, seed: 1, planned: 8 });
  const inProgress = async () => (await phone.base.base()).getAllKeysFromIndex('records', 'inProgress');
  expect(await inProgress()).toEqual([`walk:${walk}`]);
  await phone.write.note('walk_end', { walk, bed, why: 'stopped' });
  expect(await inProgress()).toEqual([]);
});

test('what is heard while the walks that are over are read is not undone by them', async () => {
  const walk = '1'.repeat(32);
  const phone = await openTab(new Nursery(), device);
  await phone.write.note('walk', { walk, bed, seed: 1, planned: 8 });
  await phone.write.note('walk_end', { walk, bed, why: 'stopped' });
  await phone.things.load();
  const rest = phone.things.loadRest();
  await phone.write.note('walk_end', { walk, bed, why: 'enough' });
  await rest;
  expect(phone.things.walks.value.get(walk)?.end?.why).toBe('enough');
});
