/** What the server says of the lots whose notes a phone need not have. */
import type { GoneLot } from '../../../../schema/types';
import type { LotSummary } from '../store/shape';
import { goneLots } from '../wire';

/** Every lot of which a first pull leaves notes out. @param pull what names it, or 1 for one that would begin now @throws Refusal */
export async function allGone(pull: string): Promise<{ lots: GoneLot[]; madeAt: number }> {
  const lots: GoneLot[] = [];
  for (let after = ''; ;) {
    const page = await goneLots(pull, after);
    lots.push(...page.lots);
    after = page.lots.at(-1)?.lot ?? '';
    if (!page.more || after === '') return { lots, madeAt: page.made_at };
  }
}

/** The summaries of those of these lots that the server counts as closed too. @throws Refusal */
export async function summariesOf(wanted: ReadonlySet<string>): Promise<Map<string, LotSummary>> {
  const { lots: all, madeAt } = await allGone('1');
  return new Map(
    all.filter(({ lot }) => wanted.has(lot)).map(({ lot, summary }) => [lot, { ...summary, asOf: madeAt }]),
  );
}
