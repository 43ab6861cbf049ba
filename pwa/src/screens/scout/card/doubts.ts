/** Which measured values look mistyped: while they are typed, and again at the end of the walk. */
import type { BedInput, BedScore, PotSeen, Slip } from '../../../../../schema/types';
import { slipOf } from '../../../../../sync/bed/bed';
import { FEWEST } from '../../../../../sync/bed/due';
import { headMM } from '../../../../../sync/bed/lots';

export type Measured = 'head' | 'buds';

interface Seen {
  input: BedInput;
  /** Pots of the walk before, see Course. */
  before: readonly PotSeen[];
}

/** The other pots of a lot that a pot's value is held against: the first of a walk, against those of the walk before too. */
export function others({ input, before }: Seen, pot: string | undefined, lot: string): PotSeen[] {
  const mine = input.pots.filter((each) => each.id !== pot && each.now.lot === lot);
  return mine.length < FEWEST ? [...before, ...mine] : mine;
}

/** Why a pot's value looks mistyped; null when it looks usual or too few pots tell. */
export function slipAmong(
  seen: Seen,
  pot: string | undefined,
  lot: string,
  trait: Measured,
  value: number,
): Slip | null {
  return slipOf({ ...seen.input, pots: others(seen, pot, lot) }, lot, trait, value);
}

/**
 * All that looks mistyped in a walk. Of a lot with few pots the score cannot tell yet what is usual; the phone doubted such a
 * value when it was typed, against the walk before, and the scout who went on finds it here.
 */
export function slipsToCheck(seen: Seen, score: BedScore): Slip[] {
  const scored = score.lots.flatMap((lot) => lot.slips ?? []);
  const isScored = (pot: PotSeen, trait: Measured) =>
    scored.some((slip) => slip.pot === pot.id && slip.trait === trait);
  const early = seen.input.pots.flatMap((pot) => {
    if (pot.checked === true || others(seen, pot.id, pot.now.lot).length === 0) return [];
    return (['head', 'buds'] as const).flatMap((trait) => {
      const value = trait === 'head' ? headMM(pot.now) : pot.now.buds;
      if (value === undefined || value === null || isScored(pot, trait) || !isFew(seen, pot)) return [];
      const slip = slipAmong(seen, pot.id, pot.now.lot, trait, value);
      return slip ? [{ ...slip, pot: pot.id }] : [];
    });
  });
  return [...scored, ...early];
}

function isFew({ input }: Seen, pot: PotSeen): boolean {
  return input.pots.filter((each) => each.now.lot === pot.now.lot).length <= FEWEST;
}
