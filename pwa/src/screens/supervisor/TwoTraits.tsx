import { Trend, type TrendMark } from '../../parts/Trend';
import { appWords } from '../../words';
import { supervisorWords } from '../../words/supervisor';
import { points } from '../../words/format';
import { traitName } from './names';

interface Props {
  heads: readonly TrendMark[];
  buds: readonly TrendMark[];
}

/**
 * Uniformity through time, heads and buds each for itself: the weaker of the two would fall where buds are first counted,
 * although nothing changed on the bed.
 */
export function TwoTraits({ heads, buds }: Props) {
  return (
    <>
      <Trend
        name={[saidTrend('head', heads), saidTrend('buds', buds)].filter(Boolean).join('; ')}
        write={points}
        axis={supervisorWords.value.bed.evenAxis}
        count={supervisorWords.value.bed.walks(new Set([...heads, ...buds].map(({ id }) => id)).size)}
        marks={heads}
        other={{ marks: buds, from: supervisorWords.value.bed.trendBudsFrom }}
      />
      <ul class="legend small">
        {heads.length > 0 && (
          <li>
            <Key /> {appWords.value.common.head}
          </li>
        )}
        {buds.length > 0 && (
          <li>
            <Key second /> {appWords.value.common.buds}
          </li>
        )}
      </ul>
    </>
  );
}

/** A trait's uniformity through time in words; "" without a walk. */
export function saidTrend(trait: 'head' | 'buds', marks: readonly TrendMark[]): string {
  const [first, last] = [marks[0], marks.at(-1)];
  return first && last
    ? supervisorWords.value.bed.trendOf(traitName(trait), marks.length, points(first.value), points(last.value))
    : '';
}

function Key({ second }: { second?: boolean }) {
  return (
    <svg class="plot" width="28" height="12" aria-hidden="true">
      <g class={second ? 'second' : 'first'}>
        <line class="path" x1="0" x2="28" y1="6" y2="6" />
        <g class="mark">{second ? <rect x="10" y="2" width="8" height="8" /> : <circle cx="14" cy="6" r="4" />}</g>
      </g>
    </svg>
  );
}
