import { acceptAt, type Sprt } from './sprt.ts';
import { expect } from 'vitest';

/** Compares what was computed with what JSON holds; only what is wanted is compared, floats within rel or abs. */
export function same(have: unknown, want: unknown, where: string, rel: number, abs: number): void {
  if (typeof want === 'number' && typeof have === 'number') {
    const room = Math.max(rel * Math.abs(want), abs, 1e-15 * Math.abs(want));
    expect(Math.abs(have - want), `${where}: have ${have}, want ${want}`).toBeLessThanOrEqual(room);
  } else if (Array.isArray(want) && Array.isArray(have)) {
    expect(have.length, where).toBe(want.length);
    for (const [i, w] of want.entries()) same(have[i], w, `${where}[${i}]`, rel, abs);
  } else if (want !== null && typeof want === 'object' && !Array.isArray(want)) {
    for (const [key, value] of Object.entries(want)) {
      same((have as Record<string, unknown> | null)?.[key], value, `${where}.${key}`, rel, abs);
    }
  } else {
    expect(have, where).toEqual(want);
  }
}

/** The fewest clean pots that call the share low. */
export function firstAccept(s: Sprt): number {
  let n = Math.max(1, s.least);
  while (acceptAt(s, n) < 0) n++;
  return n;
}
