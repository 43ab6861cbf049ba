import type { AttentionItem } from '../../../../../schema/types';
import { supervisorWords } from '../../../words/supervisor';

const HIGH = 16;
const WIDE = 356;

/** Where the walk's pots stood along the bed, entry end left: filled are those that show the trouble. How far across they stood is not drawn. */
export function MiniStrip({ item }: { item: AttentionItem }) {
  const hit = item.hit ?? [];
  const clear = item.clear ?? [];
  if (hit.length === 0) return null;
  const name = supervisorWords.value.morning.strip(hit.length, hit.length + clear.length);
  const dot = (at: number, index: number, kind: 'hit' | 'clear' | 'within') => (
    <path
      key={`${kind} ${index}`}
      class={kind}
      d={`M${4 + (at / 1000) * (WIDE - 8)} ${index % 2 === 0 ? 5.5 : 10.5}h0`}
    />
  );
  return (
    <svg class="ministrip" viewBox={`0 0 ${WIDE} ${HIGH}`} preserveAspectRatio="none" role="img" aria-label={name}>
      <rect x="0.5" y="0.5" width={WIDE - 1} height={HIGH - 1} />
      {clear.flatMap((at, index) => [dot(at, index, 'clear'), dot(at, index, 'within')])}
      {hit.map((at, index) => dot(at, index, 'hit'))}
    </svg>
  );
}
