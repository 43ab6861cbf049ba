import { defaultJudged } from '../../schema/kinds.ts';
import type { BedInput, Judged, LotOnBed, Observation, PotSeen } from '../../schema/types.ts';

/** The measured traits, in the order in which they are listed. */
export const TRAITS = ['head', 'buds'] as const;

/** One lot of a bed with its pots, ordered by id, and the values taken of each trait. */
export interface LotPots {
  lot: string;
  potsOnBed: number;
  judged: Judged;
  pots: PotSeen[];
  values: [Taken, Taken];
}

/** One trait's values in one lot, with the index of the pot that each was taken from. */
interface Taken {
  x: number[];
  pots: number[];
}

/** The pots seen, sorted into the lots of the bed; pots of a lot that is not on the bed make a lot of their own. */
export function lotsOf(input: BedInput): LotPots[] {
  const lots: LotPots[] = [];
  const byId = new Map<string, LotPots>();
  const add = (lot: string, judged: Judged): LotPots => {
    const l: LotPots = {
      lot,
      potsOnBed: 0,
      judged,
      pots: [],
      values: [
        { x: [], pots: [] },
        { x: [], pots: [] },
      ],
    };
    byId.set(lot, l);
    lots.push(l);
    return l;
  };
  for (const on of input.lots) {
    const l = byId.get(on.lot) ?? add(on.lot, on.judged);
    l.potsOnBed += on.pots_on_bed;
  }
  const known = lots.length;
  // By id, so that sums come out the same whichever phone's notes came first.
  const pots = [...input.pots].sort((a, b) => compare(a.id, b.id));
  for (const p of pots) (byId.get(p.now.lot) ?? add(p.now.lot, defaultJudged)).pots.push(p);
  lots.push(...lots.splice(known).sort((a, b) => compare(a.lot, b.lot)));
  for (const l of lots) {
    l.pots.forEach((p, i) => {
      const mm = headMM(p.now);
      if (mm !== null) take(l.values[0], mm, i);
      const buds = p.now.buds ?? null;
      if (buds !== null) take(l.values[1], buds, i);
    });
  }
  return lots;
}

function take(t: Taken, x: number, pot: number): void {
  t.x.push(x);
  t.pots.push(pot);
}

function compare(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

/** A pot's head size in mm: the mean of its two diameters, or the one that was measured; null when neither was. */
export function headMM(o: Partial<Observation>): number | null {
  const a = o.head_a_mm ?? null;
  const b = o.head_b_mm ?? null;
  if (a !== null && b !== null) return (a + b) / 2;
  return a ?? b;
}

/** The judging of the lot with most pots on the bed sets what a bed has only one of. */
export function mainJudged(input: BedInput): Judged {
  let most: LotOnBed | null = null;
  for (const l of input.lots) if (most === null || l.pots_on_bed > most.pots_on_bed) most = l;
  return most?.judged ?? defaultJudged;
}

/** The number of pots for the finite-population correction: 0 (no end) when the ledger has fewer than were seen. */
export function bedEnd(potsOnBed: number, seen: number): number {
  return potsOnBed < seen ? 0 : potsOnBed;
}

export function sumPotsOnBed(lots: readonly LotPots[]): number {
  return lots.reduce((sum, l) => sum + l.potsOnBed, 0);
}

export function toleranceOf(j: Judged, trait: number): number {
  return (trait === 0 ? j.head_tolerance_bp : j.bud_tolerance_bp) / 10000;
}

export function atEdge(input: BedInput, across: number): boolean {
  const near = input.aisles !== 'far' && across === 1;
  return near || ((input.aisles === 'far' || input.aisles === 'both') && across === input.across);
}
