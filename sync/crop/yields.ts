/** How many come through the stages of a crop, and how sure that is. The shares are those of sync/supply (Share). */
import { betaQuantile } from '../stats/components.ts';

/** A stage to come. */
export interface Through {
  /** The share of what begins it that comes through, above 0 and up to 1. */
  share: number;
  /** How far such shares lie from it, as 1/(a + b + 1) of their beta distribution; 0 where it counts as sure. */
  differ?: number;
  /** How many plants are put into each pot as it begins; undefined where they stay as they are. */
  plantsEach?: number | undefined;
}

/**
 * How many are left after each stage, of pots with so many plants in each; a cutting is a pot with one. Averages: not rounded to whole pots.
 */
export function through(pots: number, plantsEach: number, stages: readonly Through[]): number[] {
  let [left, each] = [pots, plantsEach];
  return stages.map((stage) => {
    const after = stage.plantsEach ?? each;
    left = ((left * each) / after) * stage.share;
    each = after;
    return left;
  });
}

/**
 * How far what becomes of one lot lies from what is expected of lots like it, as a standard deviation on the logit scale (supply.Varies). An
 * assumption of this project, no source.
 */
const VARIES = 0.35;

/** How far lots lie from a share that somebody wrote for all of them (supply.WrittenShare). */
export function writtenDiffer(share: number): number {
  return share * (1 - share) * VARIES ** 2;
}

/** How far a share may lie from that counted among so many (Jeffreys' prior). */
export function countedDiffer(looked: number): number {
  return 1 / (looked + 2);
}

export interface Left {
  left: number;
  low: number;
  high: number;
}

/**
 * `through` with the limits between which the pots of nine lots in ten lie after each stage: the mean and the variance of the product of the shares,
 * each pot's luck among it, as those of a beta distribution. What happens in one stage says nothing of the next.
 */
export function throughWithin(pots: number, plantsEach: number, stages: readonly Through[]): Left[] {
  let [mean, square, all, each] = [1, 1, pots, plantsEach];
  return through(pots, plantsEach, stages).map((left, i) => {
    const { share, differ = 0, plantsEach: after = each } = stages[i] ?? { share: 1 };
    all = (all * each) / after;
    each = after;
    mean *= share;
    square *= share * share + differ * share * (1 - share);
    const open = mean * (1 - mean);
    const shares = open === 0 ? 0 : (square - mean * mean) / open;
    if (shares <= 1e-12 || all < 1) return { left, low: left, high: left };
    const both = 1 / (shares + (1 - shares) / all) - 1;
    const at = (chance: number) => all * betaQuantile(chance, mean * both, (1 - mean) * both);
    return { left, low: at(0.05), high: at(0.95) };
  });
}

/** How many cuttings it takes on average to have so many pots after all of the stages. */
export function cuttingsFor(pots: number, stages: readonly Through[]): number {
  return pots / (through(1, 1, stages).at(-1) ?? 1);
}
