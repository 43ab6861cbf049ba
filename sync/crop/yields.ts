/** How many come through the stages of a crop. TypeScript alone, since only screens show it. */

/** A stage to come. */
export interface Through {
  /** The share of what begins it that comes through, above 0 and up to 1. */
  share: number;
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

/** How many cuttings it takes on average to have so many pots after all of the stages. */
export function cuttingsFor(pots: number, stages: readonly Through[]): number {
  return pots / (through(1, 1, stages).at(-1) ?? 1);
}
