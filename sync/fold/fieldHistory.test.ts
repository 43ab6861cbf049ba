import { expect, test } from 'vitest';
import type { Stamped } from '../../schema/types';
import { fieldHistory } from './fieldHistory.ts';
import { fold } from './fold.ts';

const LOT = '1'.padStart(32, '0');
const KEY = `lot:${LOT}`;
let seq = 0;

function written(id: string, kind: string, body: object, device = 'a'): Stamped {
  seq++;
  const entry = {
    id,
    device,
    inc: 1,
    seq,
    v: 1,
    kind,
    person: device,
    lot: LOT,
    wall: seq,
    session: 's',
    mono: seq,
    body,
  };
  return { entry, stamp: { at: seq, quality: 'exact', from: seq, to: seq }, position: seq } as unknown as Stamped;
}

const write = (id: string, saw: string[], fields: object, device = 'a') =>
  written(id, 'lot', { of: LOT, saw, ...fields }, device);
const strike = (id: string, names: string) => written(id, 'void', { names, records: [KEY], why: 'mistake' });

function told(entries: readonly Stamped[], field: string) {
  return fieldHistory(KEY, entries.toReversed())
    .get(field)
    ?.map(({ value, state, settles, alone }) => [value, state, settles, alone]);
}

const begun = write('e1', [], { tag: 'AZ-1', pot_mm: 130 });

test('a change in sight of the old value replaces it; a field of the same note stays as it was', () => {
  const all = [begun, write('e2', ['e1'], { pot_mm: 165 })];
  expect(told(all, 'pot_mm')).toEqual([
    [165, 'shown', false, true],
    [130, 'replaced', false, false],
  ]);
  expect(told(all, 'tag')).toEqual([['AZ-1', 'shown', false, false]]);
});

test('two that did not see each other stand beside each other, until one who saw both chooses; that struck out, they stand again', () => {
  const apart = [begun, write('e2', ['e1'], { tag: 'AZ-2' }, 'b'), write('e3', ['e1'], { tag: 'AZ-3' }, 'c')];
  expect(told(apart, 'tag')).toEqual([
    ['AZ-3', 'shown', false, true],
    ['AZ-2', 'other', false, true],
    ['AZ-1', 'replaced', false, false],
  ]);
  const settled = [...apart, write('e4', ['e2', 'e3'], { tag: 'AZ-2' })];
  expect(told(settled, 'tag')?.map(([, state, settles]) => [state, settles])).toEqual([
    ['shown', true],
    ['replaced', false],
    ['replaced', false],
    ['replaced', false],
  ]);
  const opened = [...settled, strike('e5', 'e4')];
  expect(told(opened, 'tag')?.map(([, state]) => state)).toEqual(['struck', 'shown', 'other', 'replaced']);
  expect(fieldHistory(KEY, opened).get('tag')?.[0]?.voided).toMatchObject({ why: 'mistake', by: { entry: 'e5' } });
});

test('seeing the same value twice settles nothing', () => {
  const all = [begun, write('e2', ['e1'], { tag: 'AZ-2' }, 'b'), write('e3', ['e1'], { tag: 'AZ-2' }, 'c')];
  expect(told([...all, write('e4', ['e2', 'e3'], { tag: 'AZ-4' })], 'tag')?.[0]).toEqual([
    'AZ-4',
    'shown',
    false,
    true,
  ]);
});

test('what it says is in force is what the fold says', () => {
  const all = [
    begun,
    write('e2', ['e1'], { tag: 'AZ-2' }, 'b'),
    write('e3', ['e1'], { tag: 'AZ-3', pot_mm: null }, 'c'),
    write('e4', ['e2', 'e3'], { tag: 'AZ-2' }),
    strike('e5', 'e4'),
  ];
  for (let count = 1; count <= all.length; count++) {
    const some = all.slice(0, count);
    const fields = fold(KEY, some)?.register?.fields ?? {};
    const past = fieldHistory(KEY, some);
    for (const [name, field] of Object.entries(fields)) {
      const lines = past.get(name) ?? [];
      expect(lines.find(({ state }) => state === 'shown')?.by).toEqual(field.by);
      const live = lines.filter(({ state }) => state === 'shown' || state === 'other');
      expect(live.map(({ by }) => by.entry).sort()).toEqual(field.live);
    }
  }
});

test('a lot of which nothing is here has no history', () => {
  expect(fieldHistory(KEY, []).size).toBe(0);
});
