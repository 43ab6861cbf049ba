/** Where a scout stands, and why a walk asks for more, out of what a walk's notes say. */
import { beforeEach, expect, test } from 'vitest';
import type { Place } from '../../../../../schema/types';
import type { FactRow, PotRow } from '../../../journal/records/read';
import { speak } from '../../../words';
import type { Course } from './course';
import { steady } from '../../../journal/records/about';
import { whyChanged } from './more';
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

/** A walk of 20 pots in all before, as it is said; `about` of them after a pot that showed this. */
const course = (about: number, rot = 0, pale = 0, stop: object = {}, also: object = {}) =>
  ({
    asked: about - 11,
    about,
    standing: Array.from({ length: 11 }),
    blind: false,
    score: {
      rot: { x: rot },
      chlorosis: { x: pale },
      uniformity: { known: true, value: 0.8 },
      stop: { verdict: 'more', roots: 'open', chlorosis: 'open', ...stop },
    },
    ...also,
  }) as unknown as Course;

const even = (value: number) => ({ uniformity: { known: true, value } });

test('a walk that asks for more pots than before says what was seen', () => {
  const before = course(20);
  expect(whyChanged(before, course(36, 1))).toBe('Rot seen: about 25 more pots');
  expect(whyChanged(before, course(36, 0, 1))).toBe('Pale leaves seen: about 25 more pots');
  const less = course(23);
  Object.assign(less.score, even(0.7));
  expect(whyChanged(before, less)).toBe('Less even than before: about 12 more pots');
  expect(whyChanged(before, course(23))).toBe('Now about 12 more pots');
  expect(whyChanged(before, course(12, 2))).toBe('Now about 1 more pot');
});

test('says what an earlier pot showed, where it counts only once enough pots were seen', () => {
  expect(whyChanged(course(32, 1), course(48, 1))).toBe('Rot seen: about 37 more pots');
  expect(whyChanged(course(32, 0, 2), course(48, 0, 2))).toBe('Pale leaves seen: about 37 more pots');
});

test('a walk that asks for fewer pots than before says why too', () => {
  expect(whyChanged(course(60, 1), course(43, 1))).toBe('Last pots sound: about 32 more');
  expect(whyChanged(course(60, 3), course(43, 4, 0, { roots: 'trouble' }))).toBe('Trouble is certain: about 32 more');
  expect(whyChanged(course(31), course(21))).toBe('Surer than planned: about 10 more');
});

test('the first trouble is said at once, though no number can be given yet', () => {
  const early = { verdict: 'minimum' };
  expect(whyChanged(course(31, 0, 0, early), course(31, 1, 0, early))).toMatch(/^Rot seen.*may need more/);
  expect(whyChanged(course(31, 0, 0, early), course(31, 0, 1, early))).toMatch(/^Pale leaves seen.*may need more/);
  expect(whyChanged(course(31, 0, 1, early), course(31, 0, 2, early))).toBeUndefined();
});

test('says nothing where the number stands, where enough were seen, and of a second look', () => {
  expect(whyChanged(course(20), course(20, 1))).toBeUndefined();
  expect(whyChanged(course(20), course(11, 1))).toBeUndefined();
  expect(whyChanged(course(20), course(36, 1, 0, {}, { blind: true }))).toBeUndefined();
});

test('what was said stands while it is near, and both ways it follows what is not', () => {
  expect(steady(undefined, 0, 31)).toBe(31);
  // A walk that was tried on the demo: its estimate went 60, 60, 60, 53, 43, 37, 33, 30 in all.
  let said = 31;
  const shown = [60, 60, 60, 53, 43, 37, 33, 30].map((about, i) => (said = steady(said, 8 + i, about - 8 - i)));
  expect(shown).toEqual([60, 60, 60, 60, 43, 43, 33, 33]);
  // At the end every pot counts.
  expect(steady(33, 30, 2)).toBe(32);
  expect(steady(33, 30, 0)).toBe(30);
  expect(steady(33, 33, 1)).toBe(34);
});
