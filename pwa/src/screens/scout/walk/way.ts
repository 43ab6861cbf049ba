/** The way from where the scout stands to a pot: what it is called, and how it is drawn. Numbers alone, so that both can be tested. */
import type { Place } from '../../../../../schema/types';
import { counted, type Counted } from '../../../words/place';

export interface Ground {
  rows: number;
  across: number;
  aisles: string | undefined;
}

export interface Way {
  /** On is away from the entry end, back is toward it; at is said where nobody knows from where. */
  along: 'on' | 'back' | 'same' | 'at';
  /** How many rows on or back; the row itself for at. */
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
  return { along: rows === 0 ? 'same' : rows > 0 ? 'on' : 'back', rows: Math.abs(rows), from, changesSide };
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
  /** The scout, in the aisle from which the pot is counted; isAway when that is outside of what is drawn. */
  you: (Mark & { isAway: boolean }) | undefined;
  /** From the scout along the aisle and in to the pot. */
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
  const band = aisles[side];
  const lane = band ? band.y + band.height / 2 : undefined;
  const you = lane === undefined ? undefined : scoutAt(reach, stands, x, width, lane);
  const edge = lane === undefined ? 0 : mark.y + (lane > mark.y ? RING : -RING);
  const route = lane === undefined ? '' : `M${you?.x ?? mark.x} ${lane}H${mark.x}V${edge}`;
  return { top, bottom, aisles, to: mark, you, route, x, y, isIn };
}

function scoutAt(
  reach: Reach,
  stands: Place | 'entry' | undefined,
  x: (row: number) => number,
  width: number,
  lane: number,
): Drawn['you'] {
  if (stands === undefined) return undefined;
  const at = (where: number, isAway: boolean) => ({ x: where, y: lane, r: DIAMOND, isAway });
  if (stands === 'entry') return at(reach.from === 1 ? DIAMOND + 2 : YOU_WIDE, reach.from > 1);
  if (stands.row < reach.from) return at(YOU_WIDE, true);
  return stands.row > reach.to ? at(width - YOU_WIDE, true) : at(x(stands.row), false);
}
