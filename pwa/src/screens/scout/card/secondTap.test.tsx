/** The second tap of a double tap answers nothing that the first one brought up; two taps that are two answer two questions. */
import 'fake-indexeddb/auto';
import { cleanup, fireEvent, render, screen } from '@testing-library/preact';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { card, leave, open, turnTo } from './card';
import { Leaves, Roots } from './Look';
import { Buds, Head } from './Measure';

function Hand() {
  const now = card.value;
  if (now?.trait === 'head') return <Head now={now} onDone={() => turnTo('buds')} />;
  if (now?.trait === 'buds') return <Buds now={now} onDone={() => turnTo('roots')} />;
  if (now?.trait === 'roots') return <Roots now={now} onDone={() => turnTo('leaves')} />;
  return now ? <Leaves now={now} onNotSeen={() => undefined} /> : null;
}

let again: () => void;

beforeEach(() => {
  open('1'.repeat(32), '2'.repeat(32), { row: 3, across: 2 }, true);
});

afterEach(() => {
  cleanup();
  leave();
});

function at(trait: 'head' | 'roots'): void {
  turnTo(trait);
  const { rerender } = render(<Hand />);
  again = () => rerender(<Hand />);
}

/** @param count how many taps there were in this place, as a browser counts them */
function taps(name: RegExp, count: number, x = 50): void {
  fireEvent.click(screen.getByRole('button', { name }), { detail: count, clientX: x, clientY: 500 });
  again();
}

test('a double tap on "none" of the roots leaves the leaves unanswered', () => {
  at('roots');
  taps(/^0: /, 1);
  taps(/^young/, 2);
  expect(card.value?.now).toMatchObject({ root_cover: 0 });
  expect(card.value?.now.chlorosis).toBeUndefined();
  taps(/^young/, 1);
  expect(card.value?.now.chlorosis).toBe('young');
});

test('a double or triple tap on how far roots go does not say that they are alive', () => {
  at('roots');
  taps(/^4: /, 1);
  taps(/^5: /, 2);
  taps(/^5: /, 3);
  expect(card.value?.now.root_life).toBeUndefined();
  taps(/^5: /, 1);
  expect(card.value?.now).toMatchObject({ root_cover: 4, root_life: 5 });
});

test('a tap in another place counts, however soon it comes', () => {
  at('roots');
  taps(/^4: /, 1);
  taps(/^4: /, 2, 180);
  expect(card.value?.now).toMatchObject({ root_cover: 4, root_life: 4 });
});

test('a double tap on the half of a head does not take the half off again on the buds', () => {
  at('head');
  taps(/^9$/, 1);
  taps(/and a half/, 1);
  expect(card.value?.trait).toBe('buds');
  taps(/^head ½/, 2);
  expect(card.value?.now.head_a_mm).toBe(95);
});

test('two quick taps on one digit are two digits', () => {
  at('head');
  taps(/^2$/, 1);
  taps(/^2$/, 2);
  expect(card.value?.now.head_a_mm).toBe(220);
  taps(/^2$/, 3);
  expect(card.value?.now.buds).toBe(2);
});
