import type { Event, LotView } from '../../../../../schema/types';
import { mondayOf } from '../../../../../sync/calendar/week';
import { Figure } from '../../../parts/Figure';
import { DataTable } from '../../../parts/DataTable';
import { useWidth } from '../../../parts/width';
import { supervisorWords } from '../../../words/supervisor';
import { day } from '../../../words/format';
import { Section } from '../Page';
import { word } from '../../../words/entry';

interface Step {
  label: string;
  /** Calendar day, as written. */
  on: string;
  at: number;
}

const DAY = 86_400_000;
const LANE = 34;
/** How wide a letter of the bold titles is at most, and how far they stand from their line. */
const LETTER = 10.5;
const BESIDE = 5;

/** From the stick to now and on to the ship week: the days that are known, on one line. */
export function LifeLine({ view }: { view: LotView }) {
  const words = supervisorWords.value.lot;
  const steps = stepsOf(view);
  const first = steps[0];
  const last = steps.at(-1);
  if (!first || !last) {
    return (
      <Section id="life" title={words.lifeTitle}>
        <p class="quiet">{words.lifeNone}</p>
      </Section>
    );
  }
  // What was noted of today is over, at whatever hour of it this is looked at.
  const now = Math.max(view.made_at, middleOf(view.today) || 0);
  const struck = steps.find((step) => step.label === words.event.stuck);
  const weeks = struck ? Math.floor((now - struck.at) / (7 * DAY)) : 0;
  return (
    <Section id="life" title={words.lifeTitle}>
      <Figure
        caption={[...(weeks > 0 ? [words.weeks(weeks)] : []), words.lifeNote].join('. ')}
        table={() => (
          <DataTable
            caption={words.lifeTitle}
            captionUnseen
            rows={steps}
            keyOf={(step) => `${step.on} ${step.label}`}
            columns={[
              { key: 'on', title: words.day, heads: true, cell: (step) => day(step.on) },
              { key: 'step', title: words.step, cell: (step) => step.label },
            ]}
          />
        )}
      >
        <Line steps={steps} now={now} name={words.lifeName(steps.length, day(first.on), day(last.on))} />
      </Figure>
    </Section>
  );
}

function Line({ steps, now, name }: { steps: readonly Step[]; now: number; name: string }) {
  const [box, width] = useWidth<HTMLDivElement>(900);
  const from = Math.min(now, steps[0]?.at ?? now);
  const to = Math.max(now, steps.at(-1)?.at ?? now);
  const x = (at: number) => 12 + ((at - from) / Math.max(DAY, to - from)) * (width - 24);
  const ends: number[] = [];
  const placed = steps.map((step) => {
    const text = Math.max(step.label.length, day(step.on).length) * LETTER;
    const at = x(step.at);
    const left = at + BESIDE + text > width ? at - BESIDE - text : at;
    let lane = ends.findIndex((end) => left >= end + 8);
    if (lane < 0) lane = ends.length;
    ends[lane] = left + text;
    const atEnd = left < at;
    // On a phone a title may have too little room on either side of its line: then it stands above it.
    return { step, at, lane, atEnd, above: atEnd && at - BESIDE < text };
  });
  const base = Math.max(1, ends.length) * LANE + 14;
  const high = base + 34;
  return (
    <div ref={box} class="plot lifeline">
      <svg width={width} height={high} viewBox={`0 0 ${width} ${high}`} role="img" aria-label={name}>
        <line class="axis" x1={x(from)} x2={x(now)} y1={base} y2={base} />
        {to > now && <line class="ahead" x1={x(now)} x2={x(to)} y1={base} y2={base} />}
        {placed.map(({ step, at, lane, atEnd, above }) => {
          const top = (ends.length - 1 - lane) * LANE + 14;
          const anchor = atEnd && !above ? 'end' : 'start';
          const beside = above ? 2 : at + (atEnd ? -BESIDE : BESIDE);
          return (
            <g key={`${step.on} ${step.label}`} class={step.at > now ? 'step later' : 'step'}>
              <line x1={at} x2={at} y1={above ? top + 22 : top - 10} y2={base} />
              <circle cx={at} cy={base} r="5" />
              <text class="title" x={beside} y={top} text-anchor={anchor}>
                {step.label}
              </text>
              <text x={beside} y={top + 16} text-anchor={anchor}>
                {day(step.on)}
              </text>
            </g>
          );
        })}
        <g class="now">
          <line x1={x(now)} x2={x(now)} y1={base - 8} y2={base + 8} />
          <text x={x(now)} y={base + 26} text-anchor={x(now) > width - 60 ? 'end' : x(now) < 60 ? 'start' : 'middle'}>
            {supervisorWords.value.lot.now}
          </text>
        </g>
      </svg>
    </div>
  );
}

function middleOf(on: string): number {
  return Date.parse(`${on}T12:00:00Z`);
}

/** The lot's own dates and the steps noted about it, once each, in order of time. */
function stepsOf(view: LotView): Step[] {
  const words = supervisorWords.value.lot;
  const { lot } = view;
  const steps = new Map<string, Step>();
  const add = (label: string, on: string | undefined) => {
    const at = middleOf(on ?? '');
    if (on && !Number.isNaN(at)) steps.set(`${label} ${on}`, { label, on, at });
  };
  for (const { fact } of view.facts) {
    if (fact?.kind !== 'event' || fact.voided) continue;
    const body = fact.body as Event;
    add(word(words.event, body.what), body.on);
  }
  add(words.event.stuck, lot.struck_on);
  add(words.event.potted, lot.potted_on);
  if (lot.ship_week) add(words.ship, mondayOf(lot.ship_week));
  return [...steps.values()].sort((a, b) => a.at - b.at);
}
