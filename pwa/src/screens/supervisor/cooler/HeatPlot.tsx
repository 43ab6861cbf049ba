import type { HourRange } from '../../../../../schema/types';
import { useWidth } from '../../../parts/width';
import { dayOfYear, number, wallOf } from '../../../words/format';
import { momentAt } from '../../../words/zone';
import { units } from '../../../words';
import { useWidthOnPaper } from '../onPaper';

const HOUR = 3_600_000;
const DAY = 24 * HOUR;
const HIGH = 190;
const LEFT = 44;
const FOOT = 24;
const TOP = 8;
const PAPER = 890;
/** Gaps of fewer hours are drawn without their length. */
const SHORTEST = 3;

interface Props {
  /** The beginning of the first hour (ms since 1970), and each hour's range; null where nothing was read. */
  from: number;
  hours: readonly (HourRange | null)[];
  /** The band in tenths of a degree C, where there is one. */
  band?: readonly [low: number, high: number];
  label: string;
}

/** Temperatures hour by hour, from the lowest to the highest of each. Where nothing was read nothing is drawn but a line at the foot. */
export function HeatPlot({ from, hours, band, label }: Props) {
  const [box, room] = useWidth<HTMLDivElement>(600);
  const width = useWidthOnPaper(room, PAPER);
  let [low, high] = band ?? [0, 50];
  for (const hour of hours) if (hour) [low, high] = [Math.min(low, hour.low_dc), Math.max(high, hour.high_dc)];
  [low, high] = [low - 5, high + 5];
  const x = (hour: number) => LEFT + (hour / Math.max(1, hours.length)) * (width - LEFT - 4);
  const y = (dc: number) => TOP + ((high - dc) / (high - low)) * (HIGH - TOP - FOOT);
  const foot = HIGH - FOOT;
  return (
    <div ref={box} class="heat">
      <svg width={width} height={HIGH} viewBox={`0 0 ${width} ${HIGH}`} role="img" aria-label={label}>
        {band && (
          <rect
            class="band"
            x={LEFT}
            y={y(band[1])}
            width={Math.max(0, width - LEFT - 4)}
            height={y(band[0]) - y(band[1])}
          />
        )}
        {ticks(low, high).map(({ dc, said }) => (
          <g key={dc}>
            <line class="grid" x1={LEFT} x2={width - 4} y1={y(dc)} y2={y(dc)} />
            <text x={LEFT - 6} y={y(dc) + 4} text-anchor="end">
              {said}
            </text>
          </g>
        ))}
        {days(from, hours.length, width).map((ms) => (
          <g key={ms}>
            <line class="grid" x1={x((ms - from) / HOUR)} x2={x((ms - from) / HOUR)} y1={TOP} y2={foot} />
            {x((ms - from) / HOUR) < width - LABEL && (
              <text x={x((ms - from) / HOUR) + 3} y={HIGH - 6}>
                {dayOfYear(ms + HOUR)}
              </text>
            )}
          </g>
        ))}
        {stretches(hours, true).map(({ at, long }) => (
          <path key={at} class="read" d={outline(at, hours.slice(at, at + long) as HourRange[], x, y)} />
        ))}
        {labelled(stretches(hours, false), x, width).map(({ at, long, middle, isSaid }) => (
          <g key={at} class="hole">
            <line x1={x(at)} x2={x(at + long)} y1={foot} y2={foot} />
            {isSaid && (
              <text x={middle} y={foot - 6} text-anchor="middle">
                {`${number(long)} h`}
              </text>
            )}
          </g>
        ))}
      </svg>
    </div>
  );
}

/** Whole degrees, six at most. */
function ticks(low: number, high: number): { dc: number; said: string }[] {
  const isF = units.value.temperature === 'F';
  const [first, last] = isF ? [(low * 9) / 50 + 32, (high * 9) / 50 + 32] : [low / 10, high / 10];
  const step = [1, 2, 5, 10, 20, 50].find((each) => (last - first) / each <= 6) ?? 100;
  const all: { dc: number; said: string }[] = [];
  for (let degrees = Math.ceil(first / step) * step; degrees <= last; degrees += step) {
    all.push({
      dc: isF ? ((degrees - 32) * 50) / 9 : degrees * 10,
      said: `${number(degrees)}°${units.value.temperature}`,
    });
  }
  return all;
}

/** Midnights of the nursery, as many as there is room for. */
function days(from: number, hours: number, width: number): number[] {
  const count = Math.floor((hours * HOUR) / DAY);
  const every = Math.max(1, Math.ceil((count * 64) / Math.max(64, width - LEFT)));
  const all: number[] = [];
  for (let wall = Math.ceil(wallOf(from) / DAY) * DAY; ; wall += every * DAY) {
    const at = momentAt(wall);
    if (at >= from + hours * HOUR) break;
    all.push(at);
  }
  return all;
}

/** The stretches of hours in which something was read, or nothing. */
function stretches(hours: readonly (HourRange | null)[], isRead: boolean): { at: number; long: number }[] {
  const all: { at: number; long: number }[] = [];
  hours.forEach((hour, i) => {
    if ((hour !== null) !== isRead) return;
    const last = all.at(-1);
    if (last && last.at + last.long === i) last.long++;
    else all.push({ at: i, long: 1 });
  });
  return all;
}

const LABEL = 60;

/** A gap's hours are written where they have room: over it, and within the drawing. */
function labelled(all: readonly { at: number; long: number }[], x: (hour: number) => number, width: number) {
  let end = 0;
  return all.map((hole) => {
    const middle = Math.min((x(hole.at) + x(hole.at + hole.long)) / 2, width - LABEL / 2);
    const isSaid = middle - LABEL / 2 >= end && hole.long >= SHORTEST;
    if (isSaid) end = middle + LABEL / 2;
    return { ...hole, middle, isSaid };
  });
}

/** So many steps of an outline can be told apart on any screen. */
const STEPS = 3000;

/** Along the highest of each hour and back along the lowest, never thinner than can be seen; of years of hours some at a time. */
function outline(at: number, of: readonly HourRange[], x: (hour: number) => number, y: (dc: number) => number): string {
  const every = Math.ceil(of.length / STEPS);
  const [top, foot]: [string[], string[]] = [[], []];
  for (let i = 0; i < of.length; i += every) {
    const some = of.slice(i, i + every);
    const [high, low] = [Math.max(...some.map((hour) => hour.high_dc)), Math.min(...some.map((hour) => hour.low_dc))];
    const [from, to] = [x(at + i), x(at + i + some.length)];
    top.push(`${from} ${y(high) - 1}`, `${to} ${y(high) - 1}`);
    foot.push(`${from} ${y(low) + 1}`, `${to} ${y(low) + 1}`);
  }
  return `M${top.join('L')}L${foot.toReversed().join('L')}Z`;
}
