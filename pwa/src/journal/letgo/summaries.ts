/** What the server says of the lots whose notes a phone need not have. */
import type { GoneLot } from '../../../../schema/types';
import type { LotSummary } from '../store/shape';
import { goneLots } from '../wire';

export interface AllGone {
  lots: GoneLot[];
  madeAt: number;
  /** A position up to which every backup of the last thirty days reaches; undefined of an older server. */
  oldUpTo: number | undefined;
}

/**
 * Every lot of which a first pull leaves notes out.
 * @param pull what names it, or 1 for one that would begin now, with these houses @throws Refusal
 */
export async function allGone(pull: string, houses: readonly string[] = []): Promise<AllGone> {
  const lots: GoneLot[] = [];
  for (let after = ''; ;) {
    const page = await goneLots(pull, houses, after);
    lots.push(...page.lots);
    after = page.lots.at(-1)?.lot ?? '';
    if (!page.more || after === '') return { lots, madeAt: page.made_at, oldUpTo: page.old_up_to };
  }
}

/** The summaries of those of these lots without which the server too says that a phone may be. @throws Refusal */
export async function summariesOf(
  wanted: (lot: string) => boolean,
  houses: readonly string[],
): Promise<{ summaries: Map<string, LotSummary>; oldUpTo: number | undefined }> {
  const { lots: all, madeAt, oldUpTo } = await allGone('1', houses);
  const summaries = new Map(
    all.filter(({ lot }) => wanted(lot)).map(({ lot, summary }) => [lot, { ...summary, asOf: madeAt }]),
  );
  return { summaries, oldUpTo };
}
