import type { Brief } from '../../journal/shape';
import { t } from '../../words';
import { points } from '../../words/format';

/** A bed's uniformity as a number on its shade; hatched where too few pots were seen, a dash where nobody walked. */
export function Tile({ brief }: { brief: Brief | undefined }) {
  if (!brief) return <span class="tile none">–</span>;
  if (brief.few || !brief.known) return <span class="tile few small">{t.value.common.tooFew}</span>;
  return <span class={`tile u${shade(brief.uniformity)}`}>{points(brief.uniformity)}</span>;
}

/** The step of the ramp: 0 under 50, then one more for each ten. */
export function shade(uniformity: number): number {
  return Math.min(5, Math.max(0, Math.floor((uniformity * 100 - 40) / 10)));
}
