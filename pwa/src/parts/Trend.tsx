import type { Interval } from '../../../schema/types';
import { dayOfYear } from '../words/format';
import { scaleOf } from './scale';
import { useWidth } from './width';

export interface TrendMark {
  id: string;
  at: number;
  value: number;
  interval: Interval;
  /** Named at the top where the scout changed, since a jump there may be the scout's and not the crop's. */
  scout?: string | undefined;
  changed?: boolean;
  chosen?: boolean;
}

interface Props {
  name: string;
  marks: readonly TrendMark[];
  /** Ends of the upright axis; 0 to 1 unless said. */
  from?: number;
  to?: number;
  write: (value: number) => string;
  height?: number;
}

const LETTER = 7.5;
const FOOT = 24;

/** One value through time, each with its interval as a whisker. */
export function Trend({ name, marks, from = 0, to = 1, write, height = 200 }: Props) {
  const [box, width] = useWidth<HTMLDivElement>(560);
  const first = marks[0];
  const last = marks.at(-1);
  if (!first || !last) return null;
  // Room for the names of new scouts, where there are any.
  const top = marks.some((mark) => mark.changed) ? 38 : 14;
  const y = scaleOf(from, to, height - FOOT, top, 5);
  const left = 12 + LETTER * Math.max(...y.ticks.map((tick) => write(tick).length));
  const right = width - 16;
  const x = (at: number) =>
    last.at === first.at
      ? (left + right) / 2
      : left + 12 + ((at - first.at) / (last.at - first.at)) * (right - left - 12);
  const clamp = (value: number) => Math.min(to, Math.max(from, value));
  const days = daysToName(marks, x, 64);
  const changes = namesInLanes(marks, x, width);
  return (
    <div ref={box} class="plot">
      <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={name}>
        {y.ticks.map((tick) => (
          <g key={tick}>
            <line class="grid" x1={left} x2={width} y1={y(tick)} y2={y(tick)} />
            <text x={left - 8} y={y(tick) + 4} text-anchor="end">
              {write(tick)}
            </text>
          </g>
        ))}
        {changes.map(({ mark, lane, atEnd }) => (
          <g key={`scout ${mark.id}`} class="change">
            <line x1={x(mark.at)} x2={x(mark.at)} y1={lane * 15 + 3} y2={height - FOOT} />
            <text x={x(mark.at) + (atEnd ? -4 : 4)} y={lane * 15 + 13} text-anchor={atEnd ? 'end' : 'start'}>
              {mark.scout}
            </text>
          </g>
        ))}
        <polyline class="path" points={marks.map((mark) => `${x(mark.at)},${y(clamp(mark.value))}`).join(' ')} />
        {marks.map((mark) => (
          <g key={mark.id} class={`mark ${mark.chosen ? 'chosen' : ''}`}>
            {mark.interval.known && (
              <line
                x1={x(mark.at)}
                x2={x(mark.at)}
                y1={y(clamp(mark.interval.low))}
                y2={y(clamp(mark.interval.high))}
              />
            )}
            <circle cx={x(mark.at)} cy={y(clamp(mark.value))} r={mark.chosen ? 6 : 4.5} />
          </g>
        ))}
        {days.map((mark) => (
          <text key={mark.id} x={x(mark.at)} y={height - 6} text-anchor={mark === last ? 'end' : 'middle'}>
            {dayOfYear(mark.at)}
          </text>
        ))}
      </svg>
    </div>
  );
}

/** Names of new scouts in two lines over the plot, so that two changes close together can both be read. */
function namesInLanes(marks: readonly TrendMark[], x: (at: number) => number, width: number) {
  const ends = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY];
  return marks
    .filter((mark) => mark.changed)
    .map((mark) => {
      const wide = (mark.scout ?? '').length * LETTER + 8;
      const atEnd = x(mark.at) + wide > width;
      const left = atEnd ? x(mark.at) - wide : x(mark.at);
      const lane = left >= (ends[0] ?? 0) ? 0 : 1;
      ends[lane] = left + wide;
      return { mark, lane, atEnd };
    });
}

/** The days that can be written under the axis without touching; the last always is. */
function daysToName(marks: readonly TrendMark[], x: (at: number) => number, room: number): TrendMark[] {
  const last = marks.at(-1);
  if (!last) return [];
  const named: TrendMark[] = [];
  let free = Number.NEGATIVE_INFINITY;
  for (const mark of marks.slice(0, -1)) {
    if (x(mark.at) - room / 2 >= free && x(mark.at) + room / 2 <= x(last.at) - room && x(mark.at) >= room / 2) {
      named.push(mark);
      free = x(mark.at) + room / 2;
    }
  }
  return [...named, last];
}
