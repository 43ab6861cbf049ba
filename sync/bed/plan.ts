import type { BedInput, Place, Plan } from '../../schema/types.ts';
import { atEdge } from './lots.ts';
import { Rand } from './rand.ts';

/** The fewest pots that a plan asks of each stretch of a bed, as far as the number of pots goes. */
export const MIN_POTS_PER_LOT = 3;

interface Stretch {
  from: number;
  to: number;
  weight: number;
  cells: number;
}

/**
 * Which pots to pull: one drawn in each stratum of the bed (stretches of lots, edges and bands across,
 * equal pieces along), listed as a snake from the entry end; the phone leads along the aisles instead, see inWalkingOrder. The same
 * places as the Go side for the same seed and n.
 */
export function makePlan(input: BedInput, seed: number, n: number): Plan {
  const spans = stretches(input);
  const random = new Rand(seed);
  const shares = shareOut(spans, n, random);
  const places = spans.flatMap((span, i) => drawn(input, span, shares[i] ?? 0, random));
  snake(input, places);
  return { n: places.length, places };
}

function stretches(input: BedInput): Stretch[] {
  if (input.rows < 1 || input.across < 1) return [];
  const spans: Stretch[] = [];
  let potsOnBed = 0;
  for (const l of input.lots) {
    const from = Math.max(1, l.from_row);
    const to = Math.min(input.rows, l.to_row);
    if (to < from) continue;
    const weight = Math.max(0, l.pots_on_bed);
    spans.push({ from, to, weight, cells: 0 });
    potsOnBed += weight;
  }
  if (spans.length === 0) spans.push({ from: 1, to: input.rows, weight: 0, cells: 0 });
  for (const s of spans) {
    s.cells = (s.to - s.from + 1) * input.across;
    if (potsOnBed === 0) s.weight = s.cells;
  }
  return spans;
}

function shareOut(spans: readonly Stretch[], n: number, random: Rand): number[] {
  if (spans.length === 0 || n < 1) return [];
  const weights = spans.map((s) => s.weight);
  const withPots = weights.filter((w) => w > 0).length;
  const out = rounded(n, weights, random);
  const least = Math.min(MIN_POTS_PER_LOT, Math.floor(n / withPots));
  const at = (i: number): number => out[i] ?? 0;
  spans.forEach((s, i) => {
    while (s.weight > 0 && at(i) < Math.min(least, s.cells)) {
      const most = out.indexOf(Math.max(...out));
      if (at(most) <= least) break;
      out[most] = at(most) - 1;
      out[i] = at(i) + 1;
    }
  });
  let spare = 0;
  spans.forEach((s, i) => {
    spare += Math.max(0, at(i) - s.cells);
    out[i] = Math.min(at(i), s.cells);
  });
  spans.forEach((s, i) => {
    const more = Math.min(spare, s.cells - at(i));
    out[i] = at(i) + more;
    spare -= more;
  });
  return out;
}

/** n divided in proportion to weights, rounded down or up with the chance that keeps each share right on average. */
function rounded(n: number, weights: readonly number[], random: Rand): number[] {
  const total = weights.reduce((a, w) => a + w, 0);
  if (total === 0) return weights.map(() => 0);
  const start = random.below(total);
  let sum = 0;
  let before = 0;
  return weights.map((w) => {
    sum += w;
    const upTo = Math.floor((n * sum + start) / total);
    const share = upTo - before;
    before = upTo;
    return share;
  });
}

function drawn(input: BedInput, s: Stretch, k: number, random: Rand): Place[] {
  const rows = s.to - s.from + 1;
  const bands = bandsOf(input, rows, k);
  const places: Place[] = [];
  rounded(
    k,
    bands.map((b) => b.to - b.from + 1),
    random,
  ).forEach((m, i) => {
    const band = bands[i];
    if (band === undefined) return;
    const width = band.to - band.from + 1;
    for (let piece = 0; piece < m; piece++) {
      const first = Math.floor((piece * rows * width) / m);
      const end = Math.floor(((piece + 1) * rows * width) / m);
      const cell = first + random.below(end - first);
      places.push({ row: s.from + Math.floor(cell / width), across: band.from + (cell % width) });
    }
  });
  return places;
}

interface Band {
  from: number;
  to: number;
}

function bandsOf(input: BedInput, rows: number, k: number): Band[] {
  let first = 1;
  let last = input.across;
  const near: Band[] = [];
  const far: Band[] = [];
  if (atEdge(input, 1) && first <= last) {
    near.push({ from: 1, to: 1 });
    first = 2;
  }
  if (atEdge(input, input.across) && first <= last) {
    far.push({ from: last, to: last });
    last--;
  }
  const inner = last - first + 1;
  if (inner < 1) return [...near, ...far];
  let parts = 1;
  while ((parts + 1) * (parts + 1) * rows <= k * inner) parts++;
  if (k >= 8) parts = Math.max(parts, 2);
  parts = Math.min(parts, inner);
  const middle = Array.from({ length: parts }, (_, i) => ({
    from: first + Math.floor((i * inner) / parts),
    to: first + Math.floor(((i + 1) * inner) / parts) - 1,
  }));
  return [...near, ...middle, ...far];
}

/** Slices about as deep as the bed is wide, every second one walked back across. */
function snake(input: BedInput, places: Place[]): void {
  const along = Math.min(places.length, Math.ceil(input.rows / Math.max(1, input.across)));
  const slice = (p: Place): number => Math.floor(((p.row - 1) * along) / input.rows);
  places.sort((a, b) => {
    const by = slice(a) - slice(b);
    if (by !== 0) return by;
    const across = slice(a) % 2 === 1 ? b.across - a.across : a.across - b.across;
    return across !== 0 ? across : a.row - b.row;
  });
}
