import { useMemo } from 'preact/hooks';
import type { Bed, Place } from '../../../../../schema/types';
import { isTroubled, spansOf } from '../../../journal/records/input';
import { lots, type Plain } from '../../../journal/records/registers';
import { useBox } from '../../../parts/width';
import { counted, ownName, type Counted } from '../../../words/place';
import { guideWords } from '../../../words/rooms';
import type { Course } from './course';
import { drawWay, type Drawn, type Ground, type Mark, type Reach } from './way';

interface Props {
  label: string;
  ground: Ground;
  bed: Plain<Bed>;
  course: Course;
  here: { place: Place; number: number; isSeen: boolean };
  stands: Course['stands'];
  /** The pots that come after this one. */
  next: readonly Place[];
  reach: Reach;
}

/** Dots nearer to each other than this, in px, would be a grey ground. */
const LEAST_STEP = 3;
/** About how wide a letter is, px. */
const LETTER = 7;
/** The same in large text, px. */
const LARGE_LETTER = 8.5;
const BASE = 4.5;

/**
 * The next metres of the bed, entry end left and near side at the foot: a diamond for the scout, the way along the aisle and in
 * to the pot, a thick ring; the next two as thin rings, what was seen filled. Not true to scale.
 */
export function NextMetres({ label, ground, bed, course, here, stands, next, reach }: Props) {
  const [box, size] = useBox<HTMLDivElement>({ width: 360, height: 90 });
  const { place } = here;
  const drawn = drawWay(ground, reach, place, stands, size);
  const dots = useMemo(() => dotsOf(drawn, ground, reach), [ground.rows, ground.across, reach.from, reach.to, size]);
  const { side } = counted(ground, place.across);
  const named = numbered(drawn, here, next, course, size.width);
  return (
    <div class="metres" ref={box}>
      <svg
        width={size.width}
        height={size.height}
        viewBox={`0 0 ${size.width} ${size.height}`}
        role="img"
        aria-label={label}
      >
        <defs>
          <pattern id="other-aisle" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
            <path d="M0 3H6" />
          </pattern>
        </defs>
        {(['far', 'near'] as const).map((each) => {
          const band = drawn.aisles[each];
          return (
            band && (
              <g key={each} class={each === side ? 'aisle to' : 'aisle'}>
                <rect x="0" y={band.y} width={size.width} height={band.height} />
                {each !== side && <rect class="other" x="0" y={band.y} width={size.width} height={band.height} />}
                <AisleName
                  text={bare(bed, each)}
                  y={band.y + band.height / 2}
                  taken={takenOf(drawn, each, side)}
                  width={size.width}
                />
              </g>
            )
          );
        })}
        <path class="sides" d={`M0 ${drawn.top}H${size.width}M0 ${drawn.bottom}H${size.width}`} />
        <path class="dots" d={dots} />
        <Lots bed={bed.id} reach={reach} drawn={drawn} marks={named} />
        {course.standing.map(
          ({ id, now }) =>
            now.place &&
            drawn.isIn(now.place) && (
              <circle
                key={id}
                class={`pot ${isTroubled(now) ? 'trouble' : 'seen'}`}
                cx={drawn.x(now.place.row)}
                cy={drawn.y(now.place.across)}
                r="4"
              />
            ),
        )}
        <path class={drawn.you?.isAway ? 'route away' : 'route'} d={drawn.route} />
        {named.map(({ x, y, r, number, text, anchor, isHere }) => (
          <g key={number} class={isHere ? 'here' : 'after'}>
            <circle cx={x} cy={y} r={r} />
            {text !== undefined && (
              <text x={text} y={y + BASE} text-anchor={anchor}>
                {number}
              </text>
            )}
          </g>
        ))}
        {drawn.you && <You you={drawn.you} to={drawn.to} isAside={drawn.you.side !== side} width={size.width} />}
      </svg>
    </div>
  );
}

function You({ you: { x, y, r }, to, isAside, width }: { you: Mark; to: Mark; isAside: boolean; width: number }) {
  const word = guideWords.value.you;
  const room = (isRight: boolean) => (isRight ? width - x - r : x - r) > word.length * LARGE_LETTER + 4;
  // On the side away from the pot, where the way does not lie; in the other aisle it lies on neither.
  const away = to.x < x;
  const isRight = isAside && !room(away) ? !away : away;
  return (
    <g class="you">
      <path d={`M${x - r} ${y}L${x} ${y - r}L${x + r} ${y}L${x} ${y + r}z`} />
      {room(isRight) && (
        <text x={isRight ? x + r + 4 : x - r - 4} y={y + BASE} text-anchor={isRight ? 'start' : 'end'}>
          {word}
        </text>
      )}
    </g>
  );
}

interface Taken {
  x: number;
  /** How far from there a name keeps. */
  beside: number;
}

/** Where along an aisle no name can stand: where the way leads in to the pot, and where the scout is. */
function takenOf({ to, you }: Drawn, aisle: Counted['side'], side: Counted['side']): Taken[] {
  // The scout's diamond has its word on the side away from the pot, and the word its room.
  const word = guideWords.value.you.length * LETTER + 12;
  return [
    ...(aisle === side ? [{ x: to.x, beside: 8 }] : []),
    ...(you?.side === aisle ? [{ x: you.x, beside: word }] : []),
  ];
}

/** An aisle's name, at the end where the way does not lie; left out where it lies at both, for the words above say it. */
function AisleName({ text, y, taken, width }: { text: string; y: number; taken: readonly Taken[]; width: number }) {
  const room = text.length * LETTER + 12;
  const isRight = taken.every(({ x, beside }) => x + beside < width - room);
  if (!isRight && !taken.every(({ x, beside }) => x - beside > room)) return null;
  return (
    <text x={isRight ? width - 6 : 6} y={y + BASE} text-anchor={isRight ? 'end' : 'start'}>
      {text}
    </text>
  );
}

function bare(bed: Plain<Bed>, side: Counted['side']): string {
  const words = guideWords.value;
  if (bed.aisles !== 'both') return ownName(bed, side) ?? words.onlyAisle;
  return ownName(bed, side) ?? (side === 'far' ? words.left : words.right);
}

/** Every place as a dot, each a stroke of no length with a round end. */
function dotsOf({ x, y, top, bottom }: Drawn, { across }: Ground, { from, to }: Reach): string {
  if ((bottom - top) / across < LEAST_STEP) return '';
  let path = '';
  for (let row = from; row <= to; row++) {
    for (let at = 1; at <= across; at++) path += `M${x(row).toFixed(1)} ${y(at).toFixed(1)}h0`;
  }
  return path;
}

/** Where one lot ends and another begins, with its tag where that lies on no mark. */
function Lots({ bed, reach, drawn, marks }: { bed: string; reach: Reach; drawn: Drawn; marks: readonly Mark[] }) {
  const half = drawn.x(reach.from + 1) - drawn.x(reach.from);
  return (
    <g class="lots">
      {spansOf(bed)
        .filter(({ from_row: from }) => from !== undefined && reach.from < from && from <= reach.to)
        .map(({ id, from_row: from = 1, lot }) => {
          const x = drawn.x(from) - half / 2;
          const tag = lots.value.get(lot ?? '')?.tag ?? '';
          const y = drawn.top + 11;
          const isFree = marks.every(
            (mark) => mark.y > y + 10 || mark.x + 30 < x || mark.x > x + tag.length * LETTER + 16,
          );
          return (
            <g key={id}>
              <path d={`M${x} ${drawn.top}V${drawn.bottom}`} />
              {isFree && (
                <text x={x + 3} y={y}>
                  {tag}
                </text>
              )}
            </g>
          );
        })}
    </g>
  );
}

interface Numbered extends Mark {
  number: number;
  isHere: boolean;
  /** Where its number stands; nothing where that would lie on another mark. */
  text: number | undefined;
  anchor: 'start' | 'end';
}

/** This pot and the next two, each with its number beside it. */
function numbered(
  drawn: Drawn,
  { number, isSeen }: Props['here'],
  next: readonly Place[],
  course: Course,
  width: number,
): Numbered[] {
  const first = isSeen ? course.standing.length + 1 : number + 1;
  const after = next
    .filter(drawn.isIn)
    .map((each, i) => ({ x: drawn.x(each.row), y: drawn.y(each.across), r: 5, number: first + i, isHere: false }));
  const marks = [{ ...drawn.to, number, isHere: true }, ...after];
  const seen = course.standing.flatMap(({ now: { place } }) =>
    place && drawn.isIn(place) ? [{ x: drawn.x(place.row), y: drawn.y(place.across), r: 4 }] : [],
  );
  return marks.map((mark) => {
    const wide = String(mark.number).length * LETTER + 4;
    const others = [...marks.filter((other) => other !== mark), ...seen];
    const isFree = (from: number, to: number) =>
      from >= 2 &&
      to <= width - 2 &&
      others.every(({ x, y, r }) => Math.abs(y - mark.y) > 14 || x + r + wide < from || x - r > to);
    const right = mark.x + mark.r + 3;
    const left = mark.x - mark.r - 3;
    if (isFree(right, right + wide)) return { ...mark, text: right, anchor: 'start' };
    return { ...mark, text: isFree(left - wide, left) ? left : undefined, anchor: 'end' };
  });
}
