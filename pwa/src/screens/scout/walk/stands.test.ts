/** Where a scout stands, and why a walk asks for more, out of what a walk's notes say. */
import { beforeEach, expect, test } from 'vitest';
import type { Place } from '../../../../../schema/types';
import type { FactRow, PotRow } from '../../../journal/records/read';
import { speak } from '../../../words';
import type { Course } from './course';
import { whyMore } from './more';
import { standsAt } from './stands';

beforeEach(() => speak('en'));

const by = (at: number) => ({
  entry: `e${at}`,
  person: 'ana',
  device: 'd1',
  stamp: { at, quality: 'pending' as const, from: at, to: at },
});
const pot = (at: number, place?: Place, voided = false): PotRow => ({
  id: `p${at}`,
  now: { walk: 'w', bed: 'b', lot: 'l', ...(place ? { place } : {}) },
  first: by(at),
  by: by(at),
  versions: 1,
  ...(voided ? { voided: { by: by(at + 1), why: 'mistake' } } : {}),
});
const skip = (at: number, place: Place, voided = false): FactRow => ({
  id: `f${at}`,
  kind: 'skip',
  body: { walk: 'w', bed: 'b', place, why: 'wet' },
  by: by(at),
  ...(voided ? { voided: { by: by(at + 1), why: 'mistake' } } : {}),
});
const [a, b] = [
  { row: 4, across: 2 },
  { row: 9, across: 5 },
];

test('the scout stands where the last pot was noted or skipped; at the entry before that', () => {
  expect(standsAt([], [])).toBe('entry');
  expect(standsAt([pot(1, a), pot(2, b)], [])).toEqual(b);
  expect(standsAt([pot(1, a)], [skip(2, b)])).toEqual(b);
  expect(standsAt([pot(3, a)], [skip(2, b)])).toEqual(a);
  expect(standsAt([], [skip(2, b)])).toEqual(b);
});

test('what was struck out or taken back tells nothing, and a pot of no known place hides where the scout went', () => {
  expect(standsAt([pot(1, a), pot(2, b, true)], [])).toEqual(a);
  expect(standsAt([pot(1, a)], [skip(2, b, true)])).toEqual(a);
  expect(standsAt([pot(1, a), pot(2)], [])).toBeUndefined();
});

const course = (asked: number, rot = 0, pale = 0, uniformity = 0.8, blind = false) =>
  ({
    asked,
    blind,
    score: {
      rot: { x: rot },
      chlorosis: { x: pale },
      uniformity: { known: true, value: uniformity },
      stop: { roots: 'open', chlorosis: 'open' },
    },
  }) as unknown as Course;

test('a walk that asks for more pots than before says what was seen', () => {
  expect(whyMore(course(9), course(25, 1))).toBe('Rot seen: about 25 more pots');
  expect(whyMore(course(9), course(25, 0, 1))).toBe('Pale leaves seen: about 25 more pots');
  expect(whyMore(course(9), course(12, 0, 0, 0.7))).toBe('Less even than before: about 12 more pots');
  expect(whyMore(course(9), course(12, 0, 0, 0.9))).toBe('Now about 12 more pots');
});

test('says what an earlier pot showed, where it counts only once enough pots were seen', () => {
  expect(whyMore(course(21, 1), course(37, 1))).toBe('Rot seen: about 37 more pots');
  expect(whyMore(course(21, 0, 2), course(37, 0, 2))).toBe('Pale leaves seen: about 37 more pots');
});

test('says nothing where it asks for no more, and nothing of a second look', () => {
  expect(whyMore(course(9), course(9, 1))).toBeUndefined();
  expect(whyMore(course(9), course(8, 1))).toBeUndefined();
  expect(whyMore(course(9), course(25, 1, 0, 0.8, true))).toBeUndefined();
});
