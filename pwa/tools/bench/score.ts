/** The phone's score of one walk, to be timed inside a page: what is computed again after each pot. */
import type { BedInput } from '../../../schema/types.ts';
import { scoreBed } from '../../../sync/bed/bed.ts';

/** Scores the same walk again and again, and returns how long each time took, in milliseconds. */
export function timesOf(walk: BedInput, times: number): number[] {
  const took: number[] = [];
  for (let i = 0; i < times; i++) {
    const began = performance.now();
    const score = scoreBed(walk);
    took.push(performance.now() - began);
    if (score.lots.length === 0) throw new Error('the walk has no score');
  }
  return took;
}
