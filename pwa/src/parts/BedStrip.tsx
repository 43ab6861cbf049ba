import { useId } from 'preact/hooks';
import { appWords } from '../words';
import type { Place } from '../../../schema/types';
import { DataTable } from './DataTable';
import { labelsOf, type Label } from './striplabels';
import { Twin } from './Figure';
import { useWidth } from './width';

export type PotState = 'seen' | 'trouble' | 'voided' | 'planned';

interface StripSpan {
  lot: string;
  /** How the crew reads the lot: its tag, and the cultivar where there is room. */
  label: string;
  from_row: number;
  to_row: number;
}

export interface StripPot {
  id: string;
  place: Place;
  state: PotState;
  lot?: string;
  /** Whether its head is out of its lot's band, where that is shown. */
  isOut?: boolean | undefined;
}

interface Props {
  bed: string;
  rows: number;
  across: number;
  spans: readonly StripSpan[];
  pots: readonly StripPot[];
  /** Too few pots were seen to say anything: the strip is hatched. */
  few?: boolean;
  farEnd?: string;
  entryEnd?: string;
  height?: number;
  /** A table of the pots under the strip; a walk leaves it out and says each pot in words instead. */
  twin?: boolean;
}

/** How high a line of names is, where in it letters stand, and how wide one is; px. */
const LABELS = 18;
const BASE = 13;
const LETTER = 7.2;
/** Half of the widest mark, so that one at an end or an edge is drawn whole. */
export const EDGE = 6;

/**
 * A bed from above, entry end left, near aisle at the foot. True to scale along the bed; across it is stretched, since
 * a bed is some thirty times as long as it is wide.
 */
export function BedStrip(props: Props) {
  const { bed, rows, across, spans, pots, few = false, height = 40, twin = true, farEnd = '' } = props;
  const words = appWords.value.common.strip;
  const [box, width] = useWidth<HTMLDivElement>(358);
  const hatch = useId();
  const along = (row: number) => EDGE + (row / rows) * (width - 2 * EDGE);
  const top = EDGE;
  const x = (place: Place) => along(place.row - 0.5);
  const y = (place: Place) => top + height - ((place.across - 0.5) / across) * height;
  const seen = pots.filter((pot) => pot.state === 'seen' || pot.state === 'trouble').length;
  const bottom = top + height + EDGE;
  const named = spans.map((span) => ({
    key: `${span.lot} ${span.from_row}`,
    label: span.label,
    start: along(span.from_row - 1),
    end: along(span.to_row),
  }));
  const labels = labelsOf(named, { entry: props.entryEnd ?? words.entry, far: farEnd }, width, LETTER);
  const full = bottom + LABELS * (labels.some(({ line }) => line > 0) ? 2 : 1);
  return (
    <div class="strip" ref={box}>
      <svg
        width={width}
        height={full}
        viewBox={`0 0 ${width} ${full}`}
        role="img"
        aria-label={words.name(bed, spans.length, seen)}
      >
        <defs>
          <pattern id={hatch} width="7" height="7" patternTransform="rotate(45)" patternUnits="userSpaceOnUse">
            <line x1="0" y1="0" x2="0" y2="7" class="hatch" />
          </pattern>
        </defs>
        <rect class="ground" x={EDGE} y={top} width={width - 2 * EDGE} height={height} />
        {spans.map((span, index) => (
          <rect
            key={`${span.lot} ${span.from_row}`}
            class={`span ${index % 2 === 0 ? 'even' : 'odd'}`}
            x={along(span.from_row - 1)}
            y={top}
            width={Math.max(1, along(span.to_row) - along(span.from_row - 1))}
            height={height}
          />
        ))}
        {few && <rect x={EDGE} y={top} width={width - 2 * EDGE} height={height} fill={`url(#${hatch})`} />}
        {pots.map((pot) => (
          <Dot key={pot.id} x={x(pot.place)} y={y(pot.place)} state={pot.state} isOut={pot.isOut} />
        ))}
        <Labels labels={labels} farEnd={farEnd} y={bottom} width={width} />
      </svg>
      {twin && <Twin table={() => <StripTable pots={pots} spans={spans} />} />}
    </div>
  );
}

/**
 * One pot: a disc when seen, a thick ring with trouble, a cross when struck out, a thin ring while only planned. Where bands are shown a disc
 * is open when its head is out of the band, and a ring has a core when it is in it: what is open is out of it, as in the plots.
 */
export function Dot({ x, y, state, isOut }: Pick<StripPot, 'state' | 'isOut'> & { x: number; y: number }) {
  if (state === 'voided') return <path class="pot voided" d={`M${x - 3.5} ${y - 3.5}l7 7m0-7l-7 7`} />;
  return (
    <>
      <circle class={`pot ${state} ${isOut ? 'out' : ''}`} cx={x} cy={y} r={state === 'seen' && !isOut ? 4.5 : 4} />
      {state === 'trouble' && isOut === false && <circle class="core" cx={x} cy={y} r="1.75" />}
    </>
  );
}

function Labels({ labels, farEnd, y, width }: { labels: readonly Label[]; farEnd: string; y: number; width: number }) {
  return (
    <g class="labels">
      {labels.map(({ key, text, x, line, room }) => (
        // A drawing of its own, so that letters wider than they were taken for end at the next name, not over it.
        <svg key={key} x={x} y={y + line * LABELS} width={room} height={LABELS}>
          <text y={BASE}>{text}</text>
        </svg>
      ))}
      {farEnd && (
        <text x={width - 3} y={y + BASE} text-anchor="end">
          {farEnd}
        </text>
      )}
    </g>
  );
}

interface TableProps {
  pots: readonly StripPot[];
  spans: readonly StripSpan[];
  /** What is said of a head out of the band. */
  out?: string;
}

/** The pots of a strip as a table. */
export function StripTable({ pots, spans, out = '' }: TableProps) {
  const words = appWords.value.common.strip;
  const stateOf = ({ state, isOut }: StripPot) => (isOut ? `${words[state]}, ${out}` : words[state]);
  const labelOf = (lot: string | undefined) => spans.find((span) => span.lot === lot)?.label ?? '';
  return (
    <DataTable
      caption={words.tableOfPots}
      captionUnseen
      rows={pots}
      keyOf={(pot) => pot.id}
      columns={[
        {
          key: 'row',
          title: words.row,
          cell: (pot) => pot.place.row,
          by: (pot) => pot.place.row,
          numeric: true,
          heads: true,
        },
        {
          key: 'across',
          title: words.across,
          cell: (pot) => pot.place.across,
          by: (pot) => pot.place.across,
          numeric: true,
        },
        { key: 'lot', title: words.lot, cell: (pot) => labelOf(pot.lot) },
        { key: 'state', title: words.state, cell: stateOf, by: stateOf },
      ]}
    />
  );
}
