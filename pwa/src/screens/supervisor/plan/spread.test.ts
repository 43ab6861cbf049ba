import { expect, test } from 'vitest';
import type { TomorrowWalk } from '../../../../../schema/types';
import { isOpen, spread } from './spread';

const ON = '2026-11-26';

function walk(bed: string, minutes: number, changes: Partial<TomorrowWalk> = {}): TomorrowWalk {
  const known = { name: bed, house: 'Heron', why: 'narrows', days: 1, pots: 16 };
  return { bed, minutes, ...known, closed_until: 0, task: '', person: '', person_name: '', ...changes };
}

test('walks go in their order to whoever has most time left, and never beyond it', () => {
  const walks = [walk('a', 40), walk('b', 30), walk('c', 30), walk('d', 20), walk('e', 15)];
  const given = spread(walks, ON, ['mirel', 'tobber'], 60);
  expect([...given]).toEqual([
    ['a', 'mirel'],
    ['b', 'tobber'],
    ['c', 'tobber'],
    ['d', 'mirel'],
  ]);
  expect(spread(walks, ON, [], 60).size).toBe(0);
});

test('a walk that is handed out takes its time and is not handed out again', () => {
  const walks = [walk('a', 40, { task: 't', person: 'mirel' }), walk('b', 30), walk('c', 20)];
  expect([...spread(walks, ON, ['mirel'], 60)]).toEqual([['c', 'mirel']]);
});

test('a bed that is closed on that day, and a walk of unknown length, are handed to nobody', () => {
  const midnight = new Date(`${ON}T00:00`).getTime();
  expect(isOpen(walk('a', 10, { closed_until: midnight }), ON)).toBe(true);
  expect(isOpen(walk('a', 10, { closed_until: midnight + 1 }), ON)).toBe(false);
  expect(spread([walk('a', 10, { closed_until: midnight + 1 }), walk('b', 0)], ON, ['mirel'], 60).size).toBe(0);
});
