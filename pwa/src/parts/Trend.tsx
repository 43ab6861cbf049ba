import type { Interval } from '../../../schema/types';
import { dayOfYear } from '../words/format';
import { appWords } from '../words';
import { scaleOf, type Scale } from './scale';
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

interface Wanted {
  id: string;
  at: number;
  low: number;
  high: number;
}

interface Props {
  name: string;
  marks: readonly TrendMark[];
  /** A second value through the same time, drawn apart: dashed, with squares. Its first mark is named where it begins. */
  other?: { marks: readonly TrendMark[]; from: string };
  /** What is wanted, drawn behind: straight between the days that it is known for, the earliest first. */
  wanted?: readonly Wanted[];
  /** The time that the plot shows, for several plots of one time; from the first mark to the last unless given. */
  span?: { from: number; to: number };
  /** Says at the first mark what begins there, where the plot shows an earlier time. */
  begins?: string;
  /** What was done meanwhile, the earliest first: each a thin line with its number at the foot. */
  steps?: readonly { id: string; at: number }[];
  /** What the upright axis measures, with its unit. */
  axis: string;
  /** What its points are, in number: "5 walks". */
  count: string;
  /** Ends of the upright axis. Without them it is for shares: from the quarter below all that is drawn up to 1, with a line at each quarter. */
  from?: number;
  to?: number;
  write: (value: number) => string;
  height?: number;
}

const LETTER = 7.5;
/** The same of what a line across the plot says, which is bold. */
const BOLD = 8.5;
const FOOT = 24;
/** The line over the plot that names its axis. */
const AXIS = 16;

/** One value through time, or two, each with its interval as a band and a whisker. */
export function Trend(props: Props) {
  const { name, marks, other, span, begins, steps = [], wanted = [], axis, count, write, height = 216 } = props;
  const [box, width] = useWidth<HTMLDivElement>(560);
  const all = [...marks, ...(other?.marks ?? [])].sort((a, b) => a.at - b.at);
  const first = all[0];
  const last = all.at(-1);
  if (!first || !last) return null;
  const secondFrom = other?.marks[0];
  const shown = span ?? { from: first.at, to: last.at };
  // What a line across the plot says, one line for each moment: a new scout, or where the second value begins.
  const signs: Sign[] = all
    .filter((mark, i) => mark.changed && all.findIndex((each) => each.changed && each.at === mark.at) === i)
    .map((mark) => ({ id: `scout ${mark.id}`, at: mark.at, text: mark.scout ?? '' }));
  if (secondFrom && other?.from && marks.some((mark) => mark.at < secondFrom.at))
    signs.unshift({ id: 'begins', at: secondFrom.at, text: other.from });
  if (begins && shown.from < first.at) signs.unshift({ id: 'begins', at: first.at, text: begins });
  // Room for what they say, where there are any, under the line that names the axis.
  const top = AXIS + (signs.length > 0 ? 38 : 14);
  const { from = lowestQuarter(all), to = 1 } = props;
  const y = props.to === undefined ? quarters(from, height - FOOT, top) : scaleOf(from, to, height - FOOT, top, 5);
  const left = 12 + LETTER * Math.max(...y.ticks.map((tick) => write(tick).length));
  const right = width - 16;
  const x = (at: number) =>
    shown.to === shown.from
      ? (left + right) / 2
      : left + 12 + ((at - shown.from) / (shown.to - shown.from)) * (right - left - 12);
  const up = (value: number) => y(Math.min(to, Math.max(from, value)));
  const dated = [...all, ...wanted].sort((a, b) => a.at - b.at);
  const days = daysToName(dated, x, 64);
  const isLate = x(first.at) > (left + right) / 2;
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
        <text class="axistitle" x="0" y="12">
          {axis}
        </text>
        <text class="axistitle" x={width - 2} y="12" text-anchor="end">
          {count}
        </text>
        {all.every(({ at }) => at === first.at) && (
          <text x={x(first.at) + (isLate ? -14 : 14)} y={up(first.value) + 4} text-anchor={isLate ? 'end' : 'start'}>
            {appWords.value.common.lonePoint}
          </text>
        )}
        {inLanes(signs, x, width).map(({ sign, lane, at, anchor }) => (
          <g key={sign.id} class="change">
            <line
              x1={x(sign.at)}
              x2={x(sign.at)}
              y1={AXIS + lane * 15 + (anchor === 'middle' ? 18 : 3)}
              y2={height - FOOT}
            />
            <text x={at} y={AXIS + lane * 15 + 13} text-anchor={anchor}>
              {sign.text}
            </text>
          </g>
        ))}
        {steps.map((step, i) => (
          <g key={step.id} class="done">
            <line x1={x(step.at)} x2={x(step.at)} y1={top} y2={height - FOOT} />
            <text x={x(step.at) + 3} y={height - FOOT - 4}>
              {i + 1}
            </text>
          </g>
        ))}
        {wanted.length > 0 && <polygon class="wanted" points={around(wanted, x, up)} />}
        <Line marks={marks} x={x} y={up} />
        {other && <Line marks={other.marks} x={x} y={up} second />}
        {days.map((mark) => (
          <text key={mark.id} x={x(mark.at)} y={height - 6} text-anchor={mark === dated.at(-1) ? 'end' : 'middle'}>
            {dayOfYear(mark.at)}
          </text>
        ))}
      </svg>
    </div>
  );
}

/** The quarter below the lowest of values and intervals, for several plots of one scale too. */
export function lowestQuarter(marks: readonly TrendMark[]): number {
  const lowest = Math.min(...marks.map(({ value, interval }) => (interval.known ? interval.low : value)));
  return Math.min(0.75, Math.max(0, Math.floor(lowest * 4) / 4));
}

/** The axis of a share, from a quarter up to 1. */
function quarters(from: number, foot: number, top: number): Scale {
  const scale = (value: number) => foot + ((value - from) / (1 - from)) * (top - foot);
  const ticks = [0, 0.25, 0.5, 0.75, 1].filter((tick) => tick >= from);
  return Object.assign(scale, { ticks, digits: 2 });
}

interface Sign {
  id: string;
  at: number;
  text: string;
}

type Place = (value: number) => number;

function Line({ marks, x, y, second }: { marks: readonly TrendMark[]; x: Place; y: Place; second?: boolean }) {
  const sure = marks.filter((mark) => mark.interval.known);
  const band = sure.map(({ id, at, interval: { low, high } }) => ({ id, at, low, high }));
  return (
    <g class={second ? 'second' : 'first'}>
      {sure.length > 1 && <polygon class="sureness" points={around(band, x, y)} />}
      <polyline class="path" points={marks.map((mark) => `${x(mark.at)},${y(mark.value)}`).join(' ')} />
      {marks.map((mark) => {
        const size = mark.chosen ? 6 : 4.5;
        return (
          <g key={mark.id} class={`mark ${mark.chosen ? 'chosen' : ''}`}>
            {mark.interval.known && (
              <line x1={x(mark.at)} x2={x(mark.at)} y1={y(mark.interval.low)} y2={y(mark.interval.high)} />
            )}
            {second ? (
              <rect x={x(mark.at) - size} y={y(mark.value) - size} width={2 * size} height={2 * size} />
            ) : (
              <circle cx={x(mark.at)} cy={y(mark.value)} r={size} />
            )}
          </g>
        );
      })}
    </g>
  );
}

/** The corners of a band, along its upper edge and back along its lower one. */
function around(band: readonly Wanted[], x: Place, y: Place): string {
  const upper = band.map(({ at, high }) => `${x(at)},${y(high)}`);
  return [...upper, ...band.toReversed().map(({ at, low }) => `${x(at)},${y(low)}`)].join(' ');
}

/**
 * Signs in two lines over the plot, so that two close together can both be read: beside their line, or where neither side of it has the room
 * above it and in the middle of the plot.
 */
function inLanes(signs: readonly Sign[], x: Place, width: number) {
  const ends = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY];
  return signs
    .toSorted((a, b) => a.at - b.at)
    .map((sign) => {
      const wide = sign.text.length * BOLD + 8;
      const [line, before] = [x(sign.at), x(sign.at) - wide];
      const place =
        line + wide <= width
          ? ({ at: line + 4, anchor: 'start', left: line } as const)
          : before >= 0
            ? ({ at: line - 4, anchor: 'end', left: before } as const)
            : ({ at: width / 2, anchor: 'middle', left: (width - wide) / 2 } as const);
      const lane = place.left >= (ends[0] ?? 0) ? 0 : 1;
      ends[lane] = place.left + wide;
      return { sign, lane, ...place };
    });
}

/** The days that can be written under the axis without touching; the last always is. */
function daysToName<M extends { at: number }>(marks: readonly M[], x: (at: number) => number, room: number): M[] {
  const last = marks.at(-1);
  if (!last) return [];
  const named: M[] = [];
  let free = Number.NEGATIVE_INFINITY;
  for (const mark of marks.slice(0, -1)) {
    if (x(mark.at) - room / 2 >= free && x(mark.at) + room / 2 <= x(last.at) - room && x(mark.at) >= room / 2) {
      named.push(mark);
      free = x(mark.at) + room / 2;
    }
  }
  return [...named, last];
}
