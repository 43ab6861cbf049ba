import { scaleOf, stacked } from './scale';
import { useWidth } from './width';

export interface DotGroup {
  id: string;
  label: string;
  /** Under the label: how many lie inside, and of how many. */
  note?: string;
  values: readonly { id: string; value: number; odd?: boolean }[];
  mean: number;
  /** From and to: the tolerance around the mean, in the values' unit. */
  band: readonly [number, number];
}

interface Props {
  /** The finding in words; the plot's name for a screen reader. */
  name: string;
  groups: readonly DotGroup[];
  write: (value: number, digits: number) => string;
  /** What the axis measures, with its unit. */
  axis: string;
}

const DOT = 9;
const HEAD = 22;
const AXIS = 44;

/** Every pot as a dot on one axis, lot under lot, over the band that counts as even. */
export function DotPlot({ name, groups, write, axis }: Props) {
  const [box, width] = useWidth<HTMLDivElement>(560);
  const all = groups.flatMap((group) => [...group.values.map((each) => each.value), ...group.band]);
  if (all.length === 0) return null;
  const scale = scaleOf(Math.min(...all), Math.max(...all), 14, width - 14, Math.max(3, Math.floor(width / 90)));
  let top = 0;
  const rows = groups.map((group) => {
    const xs = group.values.map((each) => scale(each.value));
    const levels = stacked(xs, DOT);
    const tall = Math.max(3, Math.max(0, ...levels) + 1) * DOT + 6;
    const row = { group, xs, levels, top, tall };
    top += HEAD + tall + 8;
    return row;
  });
  const full = top + AXIS;
  return (
    <div ref={box} class="plot">
      <svg width={width} height={full} viewBox={`0 0 ${width} ${full}`} role="img" aria-label={name}>
        {scale.ticks.map((tick) => (
          <line key={tick} class="grid" x1={scale(tick)} x2={scale(tick)} y1={HEAD} y2={top} />
        ))}
        {rows.map(({ group, xs, levels, top: at, tall }) => (
          <g key={group.id} transform={`translate(0 ${at})`}>
            <text class="title" x="2" y="15">
              {group.label}
            </text>
            {group.note !== undefined && (
              <text x={width - 2} y="15" text-anchor="end">
                {group.note}
              </text>
            )}
            <rect
              class="band"
              x={scale(group.band[0])}
              width={scale(group.band[1]) - scale(group.band[0])}
              y={HEAD}
              height={tall}
            />
            <line class="mean" x1={scale(group.mean)} x2={scale(group.mean)} y1={HEAD} y2={HEAD + tall} />
            {group.values.map((each, i) => {
              const y = HEAD + tall - 3 - DOT / 2 - (levels[i] ?? 0) * DOT;
              return (
                <circle key={each.id} class={`dot ${each.odd ? 'odd' : ''}`} cx={xs[i]} cy={y} r={DOT / 2 - 0.5} />
              );
            })}
          </g>
        ))}
        <line class="axis" x1="0" x2={width} y1={top} y2={top} />
        {scale.ticks.map((tick, i) => (
          <text
            key={tick}
            x={scale(tick)}
            y={top + 18}
            text-anchor={i === 0 ? 'start' : i === scale.ticks.length - 1 ? 'end' : 'middle'}
          >
            {write(tick, scale.digits)}
          </text>
        ))}
        <text class="axistitle" x={width - 2} y={top + 38} text-anchor="end">
          {axis}
        </text>
      </svg>
    </div>
  );
}
