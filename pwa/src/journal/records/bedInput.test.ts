/** Which lot a pot is of, by its row. */
import { type Signal, signal } from '@preact/signals-core';
import { afterEach, expect, test, vi } from 'vitest';
import { lotAt } from './bedInput';
import { spans as shown } from './registers';

vi.mock('./registers', async (load) => ({ ...(await load<object>()), spans: signal(new Map()) }));

const spans = shown as Signal<typeof shown.value>;

type Stretch = readonly [lot: string, from: number, to: number];

function stands(...stretches: readonly Stretch[]): void {
  spans.value = new Map(
    stretches.map(([lot, from_row, to_row], i) => [`s${i}`, { id: `s${i}`, bed: 'b', lot, from_row, to_row }]),
  ) as unknown as typeof spans.value;
}

afterEach(() => {
  spans.value = new Map();
});

test('a pot is of the lot that stands at its row, and between two stretches of the nearer one', () => {
  stands(['near the door', 1, 20], ['far', 40, 60]);
  const rows = [1, 20, 25, 35, 40, 60, 70];
  expect(rows.map((row) => lotAt('b', row))).toEqual([
    'near the door',
    'near the door',
    'near the door',
    'far',
    'far',
    'far',
    'far',
  ]);
});

test('on a bed without a lot it is of none', () => {
  stands();
  expect(lotAt('b', 1)).toBeUndefined();
});
