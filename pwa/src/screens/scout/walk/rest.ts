/** Which of a plan's pots a walk still asks for, once it has seen enough to say how many the certainty needs. */
import type { BedInput, BedScore, Place } from '../../../../../schema/types';
import { mainJudged } from '../../../../../sync/bed/lots';
import { MIN_POTS_PER_LOT } from '../../../../../sync/bed/plan';

/**
 * The places left that are still walked, in the order of the plan. A walk goes along the bed: whoever stopped where the
 * certainty is reached would have seen one end of it, and a number of one end is not one of the bed. So from the least
 * number of pots on the rest is walked thinner instead: evenly, down to what the least number would be over the whole bed, with
 * as many as the certainty still asks for and a few in each lot.
 * @param left places of the plan that are neither noted nor skipped
 */
export function restOf(input: BedInput, score: BedScore, plan: readonly Place[], left: readonly Place[]): Place[] {
  const { verdict, more } = score.stop;
  if (verdict === 'minimum') return [...left];
  const open = new Set(left);
  const spread = evenly(plan.length).flatMap((i) => plan[i] ?? []);
  const least = mainJudged(input).min_pots;
  const kept = new Set(spread.slice(0, least).filter((place) => open.has(place)));
  const also = spread.slice(least).filter((place) => open.has(place));
  for (const place of also) if (kept.size < more) kept.add(place);
  for (const { lot, from_row, to_row } of input.lots) {
    const here = (place: Place) => from_row <= place.row && place.row <= to_row;
    const seen = input.pots.filter(({ now }) => now.lot === lot).length;
    const missing = MIN_POTS_PER_LOT - seen - [...kept].filter(here).length;
    const further = also.filter((place) => here(place) && !kept.has(place));
    for (const place of further.slice(0, Math.max(0, missing))) kept.add(place);
  }
  return left.filter((place) => kept.has(place));
}

/**
 * The numbers 0 to n-1 in an order whose every beginning is spread evenly: each with its binary digits turned round (van der
 * Corput 1935). So a rest that is thinned further only leaves places out, and never moves one.
 */
export function evenly(n: number): number[] {
  const bits = Math.ceil(Math.log2(Math.max(1, n)));
  const turned = (i: number) => {
    let out = 0;
    for (let bit = 0; bit < bits; bit++) out = out * 2 + ((i >> bit) & 1);
    return out;
  };
  return Array.from({ length: 2 ** bits }, (_, i) => turned(i)).filter((i) => i < n);
}
