import type { BedInput, Place, Unwalked } from '../../schema/types.ts';
import { FEWEST } from './due.ts';

const SHARE = 0.25;
const P = 0.01;

/** The longest stretch of rows with pots that nobody checked, when it is too long for chance: the twin of unwalkedOf in Go. */
export function unwalkedOf(input: BedInput): Unwalked | null {
  const seen = input.pots.flatMap(({ now: { place } }) =>
    place && place.row >= 1 && place.row <= input.rows ? [place] : [],
  );
  if (seen.length < FEWEST) return null;
  const rows = rowsWithPots(input);
  const whole = longestOf(rows, seen, seen, rows.length);
  if (whole !== null || input.aisles !== 'both' || input.across < 2) return whole;
  const isFar = ({ across }: Place) => input.across + 1 - across < across;
  const beyond = beyondOf(
    rows,
    seen.filter((place) => !isFar(place)),
    seen.filter(isFar),
  );
  if (beyond !== null) return beyond;
  const ofSide = (side: Place[]) => longestOf(rows, seen, side, 2 * rows.length);
  const near = ofSide(seen.filter((place) => !isFar(place)));
  const far = ofSide(seen.filter(isFar));
  if (near !== null && (far === null || near.share > far.share)) return { ...near, side: 'near' };
  return far && { ...far, side: 'far' };
}

/** The rows beyond the last pot of a walk that stopped on its way out: it left them from both sides, and all of the way back. */
function beyondOf(rows: readonly number[], near: readonly Place[], far: readonly Place[]): Unwalked | null {
  const after = (side: readonly Place[]) => {
    const last = Math.max(0, ...side.map(({ row }) => row));
    return rows.filter((row) => row > last).length;
  };
  const n = Math.min(after(near), after(far));
  const [from, to] = [rows[rows.length - n], rows[rows.length - 1]];
  if (n === 0 || from === undefined || to === undefined) return null;
  const share = n / rows.length;
  const p = chanceOf((after(near) + after(far)) / (2 * rows.length), near.length + far.length);
  return share < SHARE || p > P ? null : { from_row: from, to_row: to, share, p };
}

function chanceOf(share: number, n: number): number {
  let p = n + 1;
  for (let i = 0; i < n; i++) p *= 1 - share;
  return p;
}

/** The longest stretch of rows without one of these places, as a share of a line of that many rows; null when it may be chance. */
function longestOf(
  rows: readonly number[],
  seen: readonly Place[],
  ofThese: readonly Place[],
  line: number,
): Unwalked | null {
  const isSeen = new Set(ofThese.map(({ row }) => row));
  let most = 0;
  let run = 0;
  let end = -1;
  rows.forEach((row, i) => {
    run = isSeen.has(row) ? 0 : run + 1;
    if (run > most) [most, end] = [run, i];
  });
  const [from, to] = [rows[end - most + 1], rows[end]];
  if (from === undefined || to === undefined) return null;
  const share = most / line;
  const p = chanceOf(share, seen.length);
  return share < SHARE || p > P ? null : { from_row: from, to_row: to, share, p };
}

function rowsWithPots(input: BedInput): number[] {
  const stands = new Set<number>();
  for (const lot of input.lots) {
    for (let row = Math.max(1, lot.from_row); row <= Math.min(input.rows, lot.to_row); row++) stands.add(row);
  }
  const all = Array.from({ length: Math.max(0, input.rows) }, (_, i) => i + 1);
  return input.lots.length === 0 ? all : all.filter((row) => stands.has(row));
}
