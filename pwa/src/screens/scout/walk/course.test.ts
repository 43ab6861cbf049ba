/** A walk never leaves the scout with an empty card while it asks for more pots. */
import 'fake-indexeddb/auto';
import { afterEach, expect, test } from 'vitest';
import type { Place } from '../../../../../schema/types';
import type { PotRow } from '../../../journal/records/read';
import { answerWith, card, leave, reopen } from '../card/card';
import { continueWith, openNext, type Course } from './course';

const [walk, bed, lot] = ['1'.repeat(32), '2'.repeat(32), '3'.repeat(32)];
const a: Place = { row: 66, across: 9 };
const b: Place = { row: 12, across: 8 };
const course = (...left: Place[]) =>
  ({ walk: { id: walk, bed, at: Date.now() }, blind: false, left, next: left[0] }) as unknown as Course;

afterEach(leave);

test('when the last pot asked for says that more are needed, the card goes to the next of them', () => {
  // The pot at a was just noted: what the walk asks for is known a moment later.
  openNext(course(a), a);
  expect(card.value?.now.place).toBeUndefined();
  continueWith(course());
  expect(card.value?.now.place).toBeUndefined();
  continueWith(course(b));
  expect(card.value?.now).toMatchObject({ place: b, planned: true });
});

test('a card in use is left alone', () => {
  openNext(course(a), a);
  answerWith({ buds: 20 });
  continueWith(course(b));
  expect(card.value?.now).toMatchObject({ buds: 20 });
  expect(card.value?.now.place).toBeUndefined();
  openNext(course(a));
  continueWith(course(b));
  expect(card.value?.now.place).toEqual(a);
  const by = { entry: 'e', person: 'p', device: 'd', stamp: { at: 1, quality: 'exact' as const, from: 1, to: 1 } };
  reopen({ id: 'p1', now: { walk, bed, lot, buds: 4 }, first: by, by, versions: 1 } satisfies PotRow);
  continueWith(course(b));
  expect(card.value?.pot).toBe('p1');
});
