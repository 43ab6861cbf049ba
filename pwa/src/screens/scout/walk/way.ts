/** The way from where the scout stands to a pot: what it is called, and how it is drawn. Numbers alone, so that both can be tested. */
import type { Place } from '../../../../../schema/types';
import { counted, type Counted } from '../../../words/place';

export interface Ground {
  rows: number;
  across: number;
  aisles: string | undefined;
}

export interface Way {
  /**
   * On is away from the entry end, back is toward it. At and atFar name the row itself, counted from the entry end or from the far one:
   * where nobody knows from where the scout comes, and after going round to the other aisle, where the last pot is out of sight.
   */
  along: 'on' | 'back' | 'same' | 'at' | 'atFar';
  /** How many rows on or back; the row itself for at and atFar. */
  rows: number;
  /** Nothing on a bed that is one pot wide. */
  from: Counted | undefined;
  /** True when the pot is counted from the other aisle than the pot where the scout stands. */
  changesSide: boolean;
}

export function wayTo(ground: Ground, to: Place, stands: Place | 'entry' | undefined): Way {
  const from = ground.across > 1 ? counted(ground, to.across) : undefined;
  if (stands === undefined || stands === 'entry') return { along: 'at', rows: to.row, from, changesSide: false };
  const rows = to.row - stands.row;
  const changesSide = from !== undefined && counted(ground, stands.across).side !== from.side;
  if (changesSide) {
    const isFarHalf = 2 * to.row > ground.rows;
    return {
      along: isFarHalf ? 'atFar' : 'at',
      rows: isFarHalf ? ground.rows + 1 - to.row : to.row,
      from,
      changesSide,
    };
  }
  return { along: rows === 0 ? 'same' : rows > 0 ? 'on' : 'back', rows: Math.abs(rows), from, changesSide };
}

/**
 * A plan's places in the order in which one walks them: row by row, and with two aisles along the near one first and back along the far
 * one. Crossing to the other aisle means going round an end of the bed, so a walk does it once.
 */
export function inWalkingOrder(ground: Ground, places: readonly Place[]): Place[] {
  const isBack = ({ across }: Place) => ground.aisles === 'both' && counted(ground, across).side === 'far';
  const nth = ({ across }: Place) => counted(ground, across).nth;
  return [...places].sort((a, b) => {
    if (isBack(a) !== isBack(b)) return isBack(a) ? 1 : -1;
    return (isBack(a) ? b.row - a.row : a.row - b.row) || nth(a) - nth(b);
  });
}

/** The bed's rows that are drawn large, both included. */
export interface Reach {
  from: number;
  to: number;
}

const LEAST_ROWS = 18;
const MOST_ROWS = 40;
/** Rows shown beyond the outermost mark. */
const BEYOND = 2;

/** As many rows as hold the pot, where the scout stands and the next pots, as far as they can be told apart on a phone. */
export function reachOf(rows: number, to: Place, stands: Place | 'entry' | undefined, next: readonly Place[]): Reach {
  let [low, high] = [to.row, to.row];
  const also = stands === undefined ? [] : [stands === 'entry' ? 1 : stands.row];
  for (const row of [...also, ...next.map((place) => place.row)]) {
    const [lower, higher] = [Math.min(low, row), Math.max(high, row)];
    if (higher - lower + 1 + 2 * BEYOND <= MOST_ROWS) [low, high] = [lower, higher];
  }
  [low, high] = [low - BEYOND, Math.max(high + BEYOND, low - BEYOND + LEAST_ROWS - 1)];
  if (high > rows) [low, high] = [low - (high - rows), rows];
  if (low < 1) [low, high] = [1, Math.min(rows, high + 1 - low)];
  return { from: low, to: high };
}

export interface Mark {
  x: number;
  y: number;
  r: number;
}

export interface Drawn {
  /** Where the bed's own ground begins and ends. */
  top: number;
  bottom: number;
  /** Half of an aisle's band; nothing where there is none. */
  aisles: Partial<Record<Counted['side'], { y: number; height: number }>>;
  to: Mark;
  /** The scout, in the aisle of the last pot; isAway when that is outside of what is drawn. */
  you: (Mark & { isAway: boolean; side: Counted['side'] }) | undefined;
  /** From the scout along the aisle and in to the pot; from another aisle only the part that leads in. */
  route: string;
  x: (row: number) => number;
  y: (across: number) => number;
  isIn: (place: Place) => boolean;
}

const BAND = 18;
const NO_BAND = 12;
/** How far the rows keep from the strip's ends, so that no mark is cut. */
const INSET = 20;
const RING = 7;
const DIAMOND = 5;
/** Room left of a scout at the edge for the word. */
const YOU_WIDE = 36;

export function drawWay(
  ground: Ground,
  reach: Reach,
  to: Place,
  stands: Place | 'entry' | undefined,
  { width, height }: { width: number; height: number },
): Drawn {
  const aisles: Drawn['aisles'] = {};
  const has = (side: Counted['side']) =>
    ground.aisles === side || ground.aisles === 'both' || (side === 'near' && ground.aisles === undefined);
  if (has('far')) aisles.far = { y: 0, height: BAND };
  if (has('near')) aisles.near = { y: height - BAND, height: BAND };
  const [top, bottom] = [aisles.far ? BAND : NO_BAND, height - (aisles.near ? BAND : NO_BAND)];
  const shown = reach.to - reach.from + 1;
  const x = (row: number) => INSET + ((row - reach.from + 0.5) / shown) * (width - 2 * INSET);
  const y = (across: number) => bottom - ((across - 0.5) / ground.across) * (bottom - top);
  const isIn = (place: Place) => reach.from <= place.row && place.row <= reach.to;
  const mark = { x: x(to.row), y: y(to.across), r: RING };
  const { side } = counted(ground, to.across);
  const laneOf = ({ y: from, height: high }: { y: number; height: number }) => from + high / 2;
  const lane = aisles[side] && laneOf(aisles[side]);
  const from = stands === undefined || stands === 'entry' ? side : counted(ground, stands.across).side;
  const you = aisles[from] && scoutAt(reach, stands, x, width, laneOf(aisles[from]), from);
  const edge = lane === undefined ? 0 : mark.y + (lane > mark.y ? RING : -RING);
  const start = you && from === side ? you.x : mark.x;
  const route = lane === undefined ? '' : `M${start} ${lane}H${mark.x}V${edge}`;
  return { top, bottom, aisles, to: mark, you, route, x, y, isIn };
}

function scoutAt(
  reach: Reach,
  stands: Place | 'entry' | undefined,
  x: (row: number) => number,
  width: number,
  lane: number,
  side: Counted['side'],
): Drawn['you'] {
  if (stands === undefined) return undefined;
  const at = (where: number, isAway: boolean) => ({ x: where, y: lane, r: DIAMOND, isAway, side });
  if (stands === 'entry') return at(reach.from === 1 ? DIAMOND + 2 : YOU_WIDE, reach.from > 1);
  if (stands.row < reach.from) return at(YOU_WIDE, true);
  return stands.row > reach.to ? at(width - YOU_WIDE, true) : at(x(stands.row), false);
}
