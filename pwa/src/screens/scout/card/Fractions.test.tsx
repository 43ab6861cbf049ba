/** A head between two whole numbers takes as few taps in inches as in centimetres, before and after its second digit. */
import 'fake-indexeddb/auto';
import { cleanup, fireEvent, render, screen } from '@testing-library/preact';
import { afterEach, expect, test } from 'vitest';
import { units } from '../../../words';
import { card, leave, open } from './card';
import { Buds, Head } from './Measure';

const metric = { length: 'cm', temperature: 'C', volume: 'L' } as const;

afterEach(() => {
  cleanup();
  leave();
  units.value = metric;
});

/** Taps keys on a head's card. @returns how often it went on to the next question */
function taps(...keys: string[]): number {
  open('1'.repeat(32), '2'.repeat(32), { row: 3, across: 2 }, true);
  let ended = 0;
  const shown = () => card.value && <Head now={card.value} onDone={() => ended++} />;
  const { rerender } = render(<>{shown()}</>);
  for (const key of keys) {
    fireEvent.click(screen.getByRole('button', { name: new RegExp(key) }));
    rerender(<>{shown()}</>);
  }
  return ended;
}

test.each([
  ['cm', ['9', 'and a half'], 95],
  ['in', ['9', 'and a quarter'], 235],
  ['in', ['9', 'and a half'], 241],
  ['in', ['9', 'and three quarters'], 248],
] as const)('in %s %j are the whole head and go on: %i mm', (length, keys, mm) => {
  units.value = { ...metric, length };
  expect(taps(...keys)).toBe(1);
  expect(card.value?.now.head_a_mm).toBe(mm);
});

test('without a digit there is nothing to add a fraction to', () => {
  expect(taps('and a half')).toBe(0);
  expect(card.value?.now.head_a_mm).toBeUndefined();
});

test.each([
  ['cm', 310, 'head ½', 315],
  ['cm', 315, 'head ½', 310],
  ['in', 305, 'head ¾', 324],
  ['in', 311, 'head ¾', 324],
  ['in', 324, 'head ¾', 305],
] as const)('in %s a head of %i mm becomes by the key %s, on the buds, %i mm', (length, before, key, after) => {
  units.value = { ...metric, length };
  open('1'.repeat(32), '2'.repeat(32), { row: 3, across: 2 }, true);
  if (card.value) card.value = { ...card.value, trait: 'buds', now: { ...card.value.now, head_a_mm: before } };
  render(<>{card.value && <Buds now={card.value} onDone={() => undefined} />}</>);
  fireEvent.click(screen.getByRole('button', { name: key }));
  expect(card.value?.now.head_a_mm).toBe(after);
});
