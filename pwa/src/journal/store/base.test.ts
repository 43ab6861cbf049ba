/** A phone's database from an earlier build keeps everything that was in it. */
import { afterEach, expect, test, vi } from 'vitest';
import { IDBFactory } from 'fake-indexeddb';
import type { Walk, WalkEnd } from '../../../../schema/types';
import { Nursery, openTab } from '../nursery.testing';
import { rowOf } from './made';

const [bed, device] = ['2'.repeat(32), '00000000000000d1'];
const by = { entry: '5'.repeat(32), person: '', device, stamp: { at: 1, quality: 'exact' as const, from: 1, to: 1 } };

afterEach(() => vi.unstubAllGlobals());

interface Content {
  walks?: readonly object[];
  entries?: readonly object[];
  meta?: Readonly<Record<string, unknown>>;
}

/** The database as an earlier build made it, with this in it. */
function earlierBuild(version: 1 | 2 | 4, { walks = [], entries: rows = [], meta = {} }: Content): Promise<IDBFactory> {
  const disk = new IDBFactory();
  return new Promise((done, fail) => {
    const asked = disk.open('bedwalk', version);
    asked.addEventListener('upgradeneeded', () => {
      const entries = asked.result.createObjectStore('entries', { keyPath: 'id' });
      entries.createIndex('keys', 'keys', { multiEntry: true });
      for (const index of ['pending', 'own', 'parked', 'state']) entries.createIndex(index, index);
      const records = asked.result.createObjectStore('records', { keyPath: 'key' });
      for (const index of ['walk', 'fact', 'factBed', 'factLot']) records.createIndex(index, index);
      if (version === 2) records.createIndex('going', 'going');
      const kept = asked.result.createObjectStore('meta');
      for (const [key, value] of Object.entries(meta)) kept.put(value, key);
      for (const row of rows) entries.put(row);
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

test.each([1, 2] as const)('walks under way are found at a start, in a database of build %d too', async (build) => {
  const [inProgress, over] = ['1'.repeat(32), '3'.repeat(32)];
  const disk = await earlierBuild(build, { walks: [walkRow(inProgress, false), walkRow(over, true)] });
  const phone = await openTab(new Nursery(), device, { disk });
  await phone.registers.load();
  expect([...phone.walks.walks.value.keys()]).toEqual([inProgress]);
  await phone.registers.loadRest();
  expect([...phone.walks.walks.value.keys()].sort()).toEqual([inProgress, over]);
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
  await phone.registers.load();
  const rest = phone.registers.loadRest();
  await phone.write.note('walk_end', { walk, bed, why: 'enough' });
  await rest;
  expect(phone.walks.walks.value.get(walk)?.end?.why).toBe('enough');
});

const entryId = (n: number) => String(n).repeat(32);

/** An entry row as the second build kept it. */
function earlierRow(n: number, more: object): object {
  const entry = {
    id: entryId(n),
    device,
    inc: 1,
    seq: n,
    v: 1,
    kind: 'note',
    person: '',
    wall: 1,
    body: { words: 'x' },
  };
  return { id: entry.id, entry, stamp: by.stamp, position: 0, keys: [], own: [device, 1, n], ...more };
}

const fault = { field: 'buds', code: 'max', detail: '' };
const earlierRows = [
  earlierRow(1, { pending: [1, 1] }),
  earlierRow(2, { position: 7 }),
  earlierRow(3, { state: 'held', faults: [fault] }),
  earlierRow(4, { state: 'review' }),
  earlierRow(5, { state: 'left', faults: [fault] }),
  earlierRow(6, { parked: 1 }),
  earlierRow(7, { own: undefined }),
  earlierRow(8, { own: undefined, handed: 1 }),
];

test.each([1, 2] as const)(
  'what had become of each entry in a database of build %d is named as a state',
  async (build) => {
    const doubt = { look: true, missing: { [entryId(7)]: 5 }, handed: [entryId(8)] };
    const told = { equal: true, position: 3, at: 4 };
    const disk = await earlierBuild(build, { entries: earlierRows, meta: { doubt, told } });
    const phone = await openTab(new Nursery(), device, { disk });
    const rows = await Promise.all(earlierRows.map((_, i) => phone.entry(entryId(i + 1))));
    expect(rows.map((row) => row?.state ?? 'merged')).toEqual([
      'queued',
      'merged',
      'quarantined',
      'inReview',
      'rejected',
      'parked',
      'unconfirmed',
      'returned',
    ]);
    expect(rows.flatMap((row) => Object.keys(row ?? {})).filter((name) => /^(parked|handed)$/.test(name))).toEqual([]);
    expect(rows.flatMap((row, i) => (row?.faults ? [i + 1] : []))).toEqual([3, 5]);
    const base = await phone.base.base();
    expect([await base.get('meta', 'unconfirmed'), await base.get('meta', 'digest')]).toEqual([
      { returned: doubt.handed, scan: { after: '' } },
      told,
    ]);
    expect(await base.getAllKeysFromIndex('entries', 'pending')).toEqual([entryId(1)]);
  },
);

test('a note without a place was in doubt only while the server may have lost something', async () => {
  const disk = await earlierBuild(2, { entries: [earlierRow(1, {})] });
  const phone = await openTab(new Nursery(), device, { disk });
  expect((await phone.entry(entryId(1)))?.state).toBeUndefined();
});

test('in a database of build 4 the notes of a lot are found together', async () => {
  const lot = '7'.repeat(32);
  const row = { id: '8'.repeat(32), entry: { lot }, keys: [], position: 1 };
  const disk = await earlierBuild(4, { entries: [row, { ...row, id: '9'.repeat(32), entry: {} }] });
  const phone = await openTab(new Nursery(), device, { disk });
  const found = await (await phone.base.base()).getAllFromIndex('entries', 'lot', lot);
  expect(found.map(({ id }) => id)).toEqual([row.id]);
});
