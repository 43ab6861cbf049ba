/**
 * How much of a product makes a mix of a wanted strength, always from the strength printed on the container in hand. It is
 * arithmetic, not a recommendation: it knows no product, rate or crop, and the label decides.
 * ppm is milligrams of active ingredient in a liter of mix.
 */

/** What a percentage means: of a dry product, of a liquid by weight in volume, of a liquid by weight. */
export type By = 'dry' | 'volume' | 'weight';

export interface Container {
  percent: number;
  by: By;
  /** Needed for a liquid by weight alone. */
  gramsPerMl: number;
}

/** Grams to the millilitre that a liquid product can have. */
export const DENSITY = { least: 0.5, most: 3 } as const;

export type Mixed =
  | { ok: true; amount: number }
  | { ok: false; field: 'percent' | 'density' | 'litres' | 'ppm' | 'stronger' };

/** Grams of a dry product, or millilitres of a liquid, for litres of mix of ppm mg/L. */
export function product(ppm: number, litres: number, { percent, by, gramsPerMl }: Container): Mixed {
  const mgPerUnit = by === 'weight' ? percent * 10 * gramsPerMl : percent * 10;
  if (!(percent > 0 && percent <= 100)) return { ok: false, field: 'percent' };
  if (by === 'weight' && !(gramsPerMl >= DENSITY.least && gramsPerMl <= DENSITY.most))
    return { ok: false, field: 'density' };
  if (!(litres > 0 && litres <= 1_000_000)) return { ok: false, field: 'litres' };
  if (!(ppm > 0)) return { ok: false, field: 'ppm' };
  if (ppm >= mgPerUnit * 1000) return { ok: false, field: 'stronger' };
  return { ok: true, amount: (ppm * litres) / mgPerUnit };
}

/** Milligrams of active ingredient that a drench of ppm mg/L brings into a pot. */
export function activePerPot(ppm: number, millilitres: number): number {
  return (ppm * millilitres) / 1000;
}

/** Litres that a drench takes for so many pots. */
export function litresFor(pots: number, millilitres: number): number {
  return (pots * millilitres) / 1000;
}

const GRAMS_A_POUND = 453.59237;

/** Litres in each gallon, by definition: 231 cubic inches, and the British one, which is a fifth larger. */
export const LITRES_A_GALLON = { us: 3.785411784, imperial: 4.54609 } as const;

/** Per cent by weight in volume (g in 100 mL) of a label that says pounds of active ingredient in a US gallon. */
export function percentOfPounds(poundsAGallon: number): number {
  return (poundsAGallon * GRAMS_A_POUND) / LITRES_A_GALLON.us / 10;
}

/** Litres of spray for an area. */
export function litresOver(squareMetres: number, millilitresEach: number): number {
  return (squareMetres * millilitresEach) / 1000;
}

export type Stock =
  | { ok: true; gramsALitre: number }
  | { ok: false; field: 'feedPercent' | 'ratio' | 'feedPpm' | 'tooMuch' };

/**
 * Grams of a dry fertilizer to the litre of stock, from which an injector of 1 to ratio makes ppm mg/L of a nutrient that the bag has
 * percent of. More than a kilogram to the litre is no stock: nothing dissolves so well.
 */
export function fertilizerStock(ppm: number, percent: number, ratio: number): Stock {
  if (!(percent > 0 && percent <= 100)) return { ok: false, field: 'feedPercent' };
  if (!(ratio >= 1 && ratio <= 1000)) return { ok: false, field: 'ratio' };
  if (!(ppm > 0)) return { ok: false, field: 'feedPpm' };
  const gramsALitre = (ppm * ratio) / (percent * 10);
  return gramsALitre > 1000 ? { ok: false, field: 'tooMuch' } : { ok: true, gramsALitre };
}
