import { firstReading } from '../../../journal/inbox/arriving';
import type { Brief } from '../../../journal/store/shape';
import { rampStep } from '../../../parts/ramp';
import { appWords } from '../../../words';
import { points } from '../../../words/format';

/** A bed's uniformity as a number on its shade; hatched where too few pots were seen, a dash where nobody walked;
 * nothing while the records still arrive, since the walks that are there may be weeks old. */
export function Tile({ brief }: { brief: Brief | undefined }) {
  if (firstReading.value !== undefined) return <span class="tile none">…</span>;
  if (!brief) return <span class="tile none">–</span>;
  if (!brief.few && !brief.known) return <span class="tile few small">{appWords.value.common.noSizes}</span>;
  if (brief.few) return <span class="tile few small">{appWords.value.common.tooFew}</span>;
  return <span class={`tile u${rampStep(brief.uniformity)}`}>{points(brief.uniformity)}</span>;
}
