import type { BedView, Estimate, PotView, TraitScore } from '../../../../../schema/types';
import { headMM } from '../../../../../sync/bed/lots';
import { EDGE } from '../../../parts/BedStrip';
import { DataTable } from '../../../parts/DataTable';
import { Figure } from '../../../parts/Figure';
import { scaleOf } from '../../../parts/scale';
import { useWidth } from '../../../parts/width';
import {
  distance,
  distanceUnit,
  inDistance,
  inLength,
  length,
  lengthUnit,
  number,
  percent,
} from '../../../words/format';
import { lotLine } from '../../../words/names';
import { supervisorWords } from '../../../words/supervisor';
import { bedName } from '../names';
import { useWidthOnPaper } from '../onPaper';

interface Props {
  view: BedView;
  /** Another bed, or another walk of this one, on the same axes. */
  pinned: BedView | undefined;
}

/** How far the axis lies from the left; strips above it begin there too. */
export const AXIS = 52;
const HIGH = 260;
/** Under the name of the upright axis. */
const TOP = 26;
const FOOT = 40;
const PAPER = 540;

interface Pot {
  id: string;
  /** From the entry end to the middle of the pot's row, mm. */
  along: number;
  /** mm, or the share of the lot's mean. */
  head: number;
  odd: boolean;
}

interface Series {
  key: string;
  label: string;
  isPinned: boolean;
  pots: Pot[];
  line: { along: number; head: number; low: number; high: number }[];
  slope: Estimate | undefined;
  band: [number, number];
}

/** Head size against metres under the strip, on its axis: every pot, each lot's band, and its line with how far heads change. */
export function HeadAlong({ view, pinned }: Props) {
  const words = supervisorWords.value.bed;
  const [box, room] = useWidth<HTMLDivElement>(900);
  const width = useWidthOnPaper(room, PAPER);
  const lots = new Set([view, ...(pinned ? [pinned] : [])].flatMap((each) => lotsOf(each)));
  // Lots of different size are compared as shares of their own mean.
  const isShare = lots.size > 1;
  const series = [...seriesOf(view, isShare, false), ...(pinned ? seriesOf(pinned, isShare, true) : [])];
  const heads = series.flatMap(({ pots, band }) => [...pots.map(({ head }) => head), ...band]);
  if (series.every(({ pots }) => pots.length === 0)) return null;
  const shown = (head: number) => (isShare ? head * 100 : inLength(head));
  const long = Math.max(view.bed.length_mm, pinned?.bed.length_mm ?? 0);
  const right = width - EDGE;
  const x = (mm: number) => AXIS + (mm / long) * (right - AXIS);
  const y = scaleOf(shown(Math.min(...heads)), shown(Math.max(...heads)), HIGH - FOOT, TOP, 5);
  const places = scaleOf(0, inDistance(long), AXIS, right, 6).ticks.filter((tick) => tick <= inDistance(long));
  return (
    <>
      <h3>{words.headsAlongTitle}</h3>
      <ul class="slopes">
        {series.map((one) => (
          <li key={one.key}>
            <Key isPinned={one.isPinned} /> {saidSlope(one)}
          </li>
        ))}
      </ul>
      <Figure
        caption={isShare ? words.headsAlongShare : words.headsAlong}
        table={() => <Table series={series} isShare={isShare} />}
      >
        <div ref={box} class="plot">
          <svg
            width={width}
            height={HIGH}
            viewBox={`0 0 ${width} ${HIGH}`}
            role="img"
            aria-label={words.headsAlongName(series.map(saidSlope).join(' '))}
          >
            {(isShare ? series.slice(0, 1) : series.filter(({ isPinned }) => !isPinned)).map(({ key, band }) => (
              <rect
                key={key}
                class="band"
                x={AXIS}
                width={right - AXIS}
                y={y(shown(band[1]))}
                height={y(shown(band[0])) - y(shown(band[1]))}
              />
            ))}
            {y.ticks.map((tick) => (
              <g key={tick}>
                <line class="grid" x1={AXIS} x2={right} y1={y(tick)} y2={y(tick)} />
                <text x={AXIS - 8} y={y(tick) + 4} text-anchor="end">
                  {number(tick, y.digits)}
                </text>
              </g>
            ))}
            <text x="0" y="12">
              {isShare ? words.shareAxis : words.headAxis(lengthUnit())}
            </text>
            {places.map((tick) => (
              <text
                key={tick}
                x={AXIS + (tick / inDistance(long)) * (right - AXIS)}
                y={HIGH - FOOT + 16}
                text-anchor={tick === 0 ? 'start' : 'middle'}
              >
                {number(tick)}
              </text>
            ))}
            <text x={right} y={HIGH - 6} text-anchor="end">
              {words.alongAxis(distanceUnit(), view.bed.entry_end)}
            </text>
            {series.map(({ key, isPinned, line, pots }) => (
              <g key={key} class={isPinned ? 'second' : 'first'}>
                {line.length > 0 && (
                  <>
                    <polygon
                      class="sureness"
                      points={[
                        ...line.map((at) => `${x(at.along)},${y(shown(at.high))}`),
                        ...line.toReversed().map((at) => `${x(at.along)},${y(shown(at.low))}`),
                      ].join(' ')}
                    />
                    <polyline class="path" points={line.map((at) => `${x(at.along)},${y(shown(at.head))}`).join(' ')} />
                  </>
                )}
                {pots.map((pot) => (
                  <Mark key={pot.id} x={x(pot.along)} y={y(shown(pot.head))} odd={pot.odd} isPinned={isPinned} />
                ))}
              </g>
            ))}
          </svg>
        </div>
      </Figure>
    </>
  );
}

function Mark({ x, y, odd, isPinned }: { x: number; y: number; odd: boolean; isPinned: boolean }) {
  const look = odd ? 'dot odd' : 'dot';
  return isPinned ? (
    <rect class={look} x={x - 4} y={y - 4} width="8" height="8" />
  ) : (
    <circle class={look} cx={x} cy={y} r="4.5" />
  );
}

function Key({ isPinned }: { isPinned: boolean }) {
  return (
    <svg class="plot" width="28" height="12" aria-hidden="true">
      <g class={isPinned ? 'second' : 'first'}>
        <line class="path" x1="0" x2="28" y1="6" y2="6" />
        <Mark x={14} y={6} odd={false} isPinned={isPinned} />
      </g>
    </svg>
  );
}

const lotsOf = (view: BedView) =>
  (view.bed.score?.lots ?? []).filter(({ traits }) => traits[0]?.mean.known).map(({ lot }) => lot);

function seriesOf(view: BedView, isShare: boolean, isPinned: boolean): Series[] {
  const { bed } = view;
  return (bed.score?.lots ?? []).flatMap(({ lot, traits }): Series[] => {
    const measured = traits.find(({ trait }) => trait === 'head');
    if (!measured?.mean.known) return [];
    const mean = measured.mean.value;
    const drawn = (mm: number) => (isShare ? mm / mean : mm);
    const span = bed.spans.find((each) => each.lot === lot);
    // A view that an earlier build kept has no lines.
    const fit = (view.along ?? []).find((each) => each.lot === lot);
    return [
      {
        key: `${bed.id} ${view.walk} ${lot}`,
        label: [bedName(bed.name), span ? lotLine(span) : ''].filter(Boolean).join(' · '),
        isPinned,
        pots: view.pots.flatMap(({ id, now, voided }) => {
          const mm = headMM(now);
          if (voided || now.lot !== lot || mm === null || !now.place) return [];
          const along = ((now.place.row - 0.5) / bed.rows) * bed.length_mm;
          return [{ id, along, head: drawn(mm), odd: isOut(mm, measured) }];
        }),
        line: (fit?.line ?? []).map(({ m, mm, low, high }) => ({
          along: m * 1000,
          head: drawn(mm),
          low: drawn(low),
          high: drawn(high),
        })),
        slope: fit?.per_5m,
        band: [drawn(mean * (1 - measured.tolerance)), drawn(mean * (1 + measured.tolerance))],
      },
    ];
  });
}

const isOut = (mm: number, { mean, tolerance }: TraitScore) => Math.abs(mm / mean.value - 1) > tolerance;

/** Whether a pot's head is out of its lot's band; undefined where it has no head size, or its lot no band. */
export function isOutOfBand({ bed }: BedView, { now, voided }: PotView): boolean | undefined {
  const mm = headMM(now);
  const traits = bed.score?.lots?.find(({ lot }) => lot === now.lot)?.traits;
  const measured = traits?.find(({ trait }) => trait === 'head');
  return voided || mm === null || !measured?.mean.known ? undefined : isOut(mm, measured);
}

/** How heads change along the bed, or that no change is seen. */
function saidSlope({ label, slope }: Series): string {
  const words = supervisorWords.value.bed;
  if (!slope?.interval.known) return words.slopeNone(label);
  const { low, high } = slope.interval;
  const signed = (mm: number) => {
    // Rounded first: what is written as 0.0 has no sign.
    const shown = Math.round(inLength(mm) * 10);
    return `${shown < 0 ? '−' : shown > 0 ? '+' : ''}${length(Math.abs(mm))}`;
  };
  const isSeen = low > 0 || high < 0;
  return (isSeen ? words.slope : words.slopeUnseen)(
    label,
    signed(slope.value),
    distance(5000),
    signed(low),
    signed(high),
    slope.n,
  );
}

function Table({ series, isShare }: { series: readonly Series[]; isShare: boolean }) {
  const words = supervisorWords.value.bed;
  return (
    <DataTable
      caption={words.headsAlongTitle}
      captionUnseen
      rows={series.flatMap(({ key, label, pots }) => pots.map((pot) => ({ ...pot, key: `${key} ${pot.id}`, label })))}
      keyOf={(row) => row.key}
      columns={[
        { key: 'lot', title: words.lot, heads: true, by: (row) => row.label, cell: (row) => row.label },
        {
          key: 'along',
          title: words.fromEntry,
          numeric: true,
          by: (row) => row.along,
          cell: (row) => distance(row.along, 1),
        },
        {
          key: 'head',
          title: words.head,
          numeric: true,
          by: (row) => row.head,
          cell: (row) => (isShare ? percent(row.head) : length(row.head)),
        },
      ]}
    />
  );
}
