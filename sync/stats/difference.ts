import type { Estimate } from '../../schema/types.ts';

/**
 * The difference of two independent estimates, with limits recovered from theirs (MOVER: Zou and Donner 2008, Statistics in Medicine 27:1693;
 * for two shares it is method 10 of Newcombe 1998, Statistics in Medicine 17:873). Unknown where one of them is.
 */
export function differenceOf(a: Estimate, b: Estimate): Estimate {
  const n = Math.min(a.n, b.n);
  if (!a.known || !b.known) return { value: 0, interval: { low: 0, high: 0, known: false }, n, known: false };
  const value = a.value - b.value;
  const known = a.interval.known && b.interval.known;
  const low = value - Math.hypot(a.value - a.interval.low, b.interval.high - b.value);
  const high = value + Math.hypot(a.interval.high - a.value, b.value - b.interval.low);
  return { value, interval: { low, high, known }, n, known: true };
}
