import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import {
  activePerPot,
  fertilizerStock,
  litresFor,
  litresOver,
  LITRES_A_GALLON,
  percentOfPounds,
  product,
  type By,
} from './mix.ts';

interface Vector {
  name: string;
  input: { ppm: number; litres: number; percent: number; by: By; density: number };
  want: { amount?: number; field?: string };
}

const vectors = JSON.parse(readFileSync('fixtures/vectors/mix-product.json', 'utf8')) as Vector[];

test.each(vectors)('$name', ({ input, want }) => {
  const { ppm, litres, percent, by, density } = input;
  const have = product(ppm, litres, { percent, by, gramsPerMl: density });
  if (!have.ok) expect(have.field).toBe(want.field);
  else expect(Math.abs(have.amount - (want.amount ?? 0))).toBeLessThanOrEqual(1e-9 * (want.amount ?? 0));
});

test('a drench is as much for each pot as the pots get together', () => {
  // 4 US fluid ounces are 118.29411825 mL, by definition of the gallon.
  expect(activePerPot(1, 118.29411825)).toBeCloseTo(0.1183, 4);
  expect(litresFor(200, 120)).toBe(24);
});

interface Check {
  id: string;
  computation: string;
  inputs: { [name: string]: number } & { percent: number[] & number; by: By; gallon: keyof typeof LITRES_A_GALLON };
  expected: { [name: string]: number } & { amount: number[] };
  tolerance: { rel: number };
}

const OUNCE = 28.349523125;
const GALLON = 3.785411784;
const FLUID_OUNCE = 29.5735295625;
const QUART_ON_100_SQUARE_FEET = 946.352946 / 9.290304;

/** What each kind of case computes; a case of a kind that is missing here fails. */
const computed: { readonly [computation: string]: (inputs: Check['inputs']) => { [name: string]: number | number[] } } =
  {
    'fertilizer-stock': ({ ppm, percent, ratio }) => {
      const stock = fertilizerStock(ppm ?? 0, percent, ratio ?? 0);
      const grams = stock.ok ? stock.gramsALitre : Number.NaN;
      return { g_per_l: grams, oz_per_gal: (grams * GALLON) / OUNCE };
    },
    // The other way round: a stock is in proportion to what it makes.
    'fertilizer-ppm': ({ g_per_l: grams, percent, ratio }) => {
      const one = fertilizerStock(1, percent, ratio ?? 0);
      return { ppm: one.ok ? (grams ?? 0) / one.gramsALitre : Number.NaN };
    },
    'strength-from-label': ({ lb_per_gal: pounds }) => {
      const percent = percentOfPounds(pounds ?? 0);
      return { percent_wv: percent, g_per_l: percent * 10 };
    },
    'mix-product': ({ ppm, litres, percent, by }) => {
      const amounts = [...percent].map((each) => {
        const mixed = product(ppm ?? 0, litres ?? 0, { percent: each, by, gramsPerMl: 0 });
        return mixed.ok ? mixed.amount : Number.NaN;
      });
      return { amount: amounts, ratio: (amounts[0] ?? 0) / (amounts[1] ?? 0) };
    },
    drench: ({ ppm, fl_oz_each: ounces, pots }) => ({
      mg_each: activePerPot(ppm ?? 0, (ounces ?? 0) * FLUID_OUNCE),
      litres: litresFor(pots ?? 0, (ounces ?? 0) * FLUID_OUNCE),
    }),
    'volume-litres': ({ gallons, gallon }) => ({
      litres: (gallons ?? 0) * LITRES_A_GALLON[gallon],
    }),
    'spray-volume': ({ length_mm: length, width_mm: width, qt_per_100_ft2: quarts }) => {
      const each = (quarts ?? 0) * QUART_ON_100_SQUARE_FEET;
      return { ml_per_m2: each, litres: litresOver(((length ?? 0) * (width ?? 0)) / 1e6, each) };
    },
  };

// The cases carry their sources: label strengths, definitions of the units, arithmetic by hand.
test.each(JSON.parse(readFileSync('fixtures/checks/plan/mixing.json', 'utf8')) as Check[])('$id', (check) => {
  const have = computed[check.computation]?.(check.inputs) ?? {};
  for (const [name, want] of Object.entries(check.expected)) {
    for (const [i, each] of [want].flat().entries()) {
      const got = [have[name] ?? Number.NaN].flat()[i] ?? Number.NaN;
      expect(Math.abs(got - each), name).toBeLessThanOrEqual(check.tolerance.rel * Math.abs(each));
    }
  }
});

test('a stock that cannot be made is refused, and says by which field', () => {
  expect(fertilizerStock(200, 0, 100)).toEqual({ ok: false, field: 'feedPercent' });
  expect(fertilizerStock(200, 20, 0)).toEqual({ ok: false, field: 'ratio' });
  expect(fertilizerStock(0, 20, 100)).toEqual({ ok: false, field: 'feedPpm' });
  expect(fertilizerStock(2000, 20, 200)).toEqual({ ok: false, field: 'tooMuch' });
});
