import type { CropPlan, PlanStep, PlanView } from '../../../../../schema/types';
import { useWidth } from '../../../parts/width';
import { dayOfYear } from '../../../words/format';
import { word } from '../../../words/entry';
import { supervisorWords } from '../../../words/supervisor';
import { nextOf } from '../lot/planWords';
import { useWidthOnPaper } from '../onPaper';

const DAY = 86_400_000;
/** What is longer ago than this is left out of the drawing: a lot grows for over a year, and what matters lies around today. */
const BACK_DAYS = 100;
/** So far ahead it is drawn at most; what comes later is in the lot's own words. */
const AHEAD_DAYS = 330;
const HIGH = 30;
const BAR = 16;
const LETTER = 7;
const PAPER = 540;
/** As wide as the longest first day of a month is written: it stands to the right of its place. */
const MONTH = 54;

export interface Scale {
  from: number;
  to: number;
  now: number;
}

/** The stretch of the calendar that all lines of a page are drawn on. */
export function scaleOf(view: PlanView): Scale {
  const now = at(view.today);
  const latest = view.lots.flatMap(({ plan }) => {
    const ready = plan.steps.at(-1);
    return [at(plan.by), at(ready?.day90 ?? ''), at(ready?.day50 ?? '')].filter((ms) => !Number.isNaN(ms));
  });
  const to = Math.min(Math.max(now + 60 * DAY, ...latest), now + AHEAD_DAYS * DAY);
  return { from: now - BACK_DAYS * DAY, to: to + 7 * DAY, now };
}

function at(written: string): number {
  return Date.parse(`${written}T00:00:00Z`);
}

/** The months above the lines. */
export function Axis({ scale, title }: { scale: Scale; title: string }) {
  const [box, room] = useWidth<HTMLDivElement>(600);
  const width = useWidthOnPaper(room, PAPER);
  const x = place(scale, width);
  return (
    <div class="row axis small" aria-hidden="true">
      <span class="who" />
      <div ref={box} class="drawn">
        <svg width={width} height={22} viewBox={`0 0 ${width} 22`}>
          {monthsOf(scale, width)
            .filter((ms) => x(ms) + MONTH <= width)
            .map((ms) => (
              <text key={ms} x={x(ms)} y={15}>
                {dayOfYear(ms, 'UTC')}
              </text>
            ))}
        </svg>
      </div>
      <span class="chance">{title}</span>
    </div>
  );
}

/** The first days of months, as many as there is room for. */
function monthsOf({ from, to }: Scale, width: number): number[] {
  const all: number[] = [];
  const start = new Date(from);
  for (let month = start.getUTCMonth() + 1; ; month++) {
    const ms = Date.UTC(start.getUTCFullYear(), month, 1);
    if (ms > to) break;
    all.push(ms);
  }
  const every = Math.max(1, Math.ceil((all.length * 64) / Math.max(64, width)));
  return all.filter((_, i) => i % every === 0);
}

function place({ from, to }: Scale, width: number): (ms: number) => number {
  return (ms) => Math.min(width - 1, Math.max(1, ((ms - from) / (to - from)) * width));
}

interface Props {
  plan: CropPlan;
  scale: Scale;
  today: string;
  name: string;
}

/** One lot: what was done, what is to come, when it will be ready, and by when it must be. */
export function Line({ plan, scale, today, name }: Props) {
  const [box, room] = useWidth<HTMLDivElement>(600);
  const width = useWidthOnPaper(room, PAPER);
  const x = place(scale, width);
  const now = at(today);
  const ready = plan.steps.at(-1);
  const latest = nextOf(plan)?.latest50 ?? '';
  const top = (HIGH - BAR) / 2;
  const hatch = ready && ready.day10 !== '' ? hatchOf(ready, x, scale.to) : undefined;
  // What is hatched lies over the stretch, and a name under it would be cut.
  const roomOf = (left: number, right: number) =>
    !hatch || hatch.right <= left ? right - left : Math.max(0, Math.min(right, hatch.left) - left);
  return (
    <div ref={box} class="drawn">
      <svg width={width} height={HIGH} viewBox={`0 0 ${width} ${HIGH}`} role="img" aria-label={name}>
        {monthsOf(scale, width).map((ms) => (
          <line key={ms} class="month" x1={x(ms)} x2={x(ms)} y1={0} y2={HIGH} />
        ))}
        <line class="ahead" x1={x(now)} x2={x(at(ready?.day10 || plan.by || today))} y1={HIGH / 2} y2={HIGH / 2} />
        {stretches(plan.steps, now).map(({ stage, from, to }) => {
          const [left, right] = [x(from), x(to)];
          const label = word(supervisorWords.value.plan.stage, stage);
          return (
            <g key={`${stage} ${from}`} class={stage === 'cold' ? 'stretch cold' : 'stretch'}>
              <rect x={left} y={top} width={Math.max(0, right - left)} height={BAR} />
              {roomOf(left, right) > label.length * LETTER + 8 && (
                <text x={left + 5} y={top + BAR - 4}>
                  {label}
                </text>
              )}
            </g>
          );
        })}
        {hatch && <Ready {...hatch} top={top} />}
        {plan.by !== '' && <line class="by" x1={x(at(plan.by))} x2={x(at(plan.by))} y1={1} y2={HIGH - 1} />}
        {latest !== '' && <Latest x={x(at(latest))} isPast={at(latest) < now} />}
        <line class="now" x1={x(now)} x2={x(now)} y1={0} y2={HIGH} />
      </svg>
    </div>
  );
}

/** From where to where it is likely ready, px. */
function hatchOf({ day10, day90 }: PlanStep, x: (ms: number) => number, end: number): { left: number; right: number } {
  const left = x(at(day10));
  return { left, right: Math.max(left + 3, x(day90 === '' ? end : at(day90))) };
}

function Ready({ left, right, top }: { left: number; right: number; top: number }) {
  const lines: number[] = [];
  for (let from = left - BAR; from < right; from += 5) lines.push(from);
  return (
    <g class="ready">
      <rect x={left} y={top} width={right - left} height={BAR} />
      {lines.map((from) => {
        // A hatch line runs up to the right, cut off where the box ends.
        const [a, b] = [Math.max(from, left), Math.min(from + BAR, right)];
        return <line key={from} x1={a} y1={top + BAR - (a - from)} x2={b} y2={top + BAR - (b - from)} />;
      })}
    </g>
  );
}

function Latest({ x, isPast }: { x: number; isPast: boolean }) {
  const y = HIGH / 2;
  return <path class={isPast ? 'latest past' : 'latest'} d={`M${x - 10} ${y}L${x} ${y - 6}V${y + 6}Z`} />;
}

interface Stretch {
  stage: string;
  from: number;
  to: number;
}

/** The stages gone through, from each step with a known day to the next; the last one goes on until today. */
function stretches(steps: readonly PlanStep[], now: number): Stretch[] {
  const known = steps.flatMap((step, i) => (step.done && step.on !== '' ? [{ i, from: at(step.on) }] : []));
  return known.flatMap(({ i, from }, nth) => {
    const next = known[nth + 1];
    const to = Math.min(now, next?.from ?? now);
    // Where the steps between are not known, the stretch is called by the stage that it ends with.
    const stage = (next ? steps[next.i] : steps[i + 1])?.stage ?? '';
    return to > from ? [{ stage, from, to }] : [];
  });
}
