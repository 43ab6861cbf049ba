import type { Share } from '../../../schema/types';
import { share as inWords } from '../words/format';
import { IntervalBar } from './IntervalBar';

interface Props {
  label: string;
  share: Share;
  /** Said under it, where the share alone does not tell enough. */
  note?: string | undefined;
}

/** A share of the pots with its interval, first in words, then on a line from none to all. */
export function ShareBar({ label, share, note }: Props) {
  const words = inWords(share);
  const known = share.known && share.n > 0;
  return (
    <div class="share">
      <div class="pairline">
        <span>{label}</span>
        <span class="figure-text">{words}</span>
      </div>
      <IntervalBar
        label={`${label}: ${words}`}
        value={known ? share.value : undefined}
        interval={known ? share.interval : undefined}
      />
      {note !== undefined && <p class="small quiet">{note}</p>}
    </div>
  );
}
