import { bench } from 'vitest';
import { defaultJudged } from '../../schema/kinds.ts';
import type { BedInput } from '../../schema/types.ts';
import { makePlan, scoreBed } from './bed.ts';

// npx vitest bench --project sync: a walk of 60 pots is to be scored again within 16 ms on a processor four times slower.
const lot = (name: string, from_row: number, to_row: number): BedInput['lots'][number] => ({
  lot: name,
  from_row,
  to_row,
  pots_on_bed: (to_row - from_row + 1) * 12,
  pot_mm: 150,
  judged: { ...defaultJudged },
});

const bed: BedInput = {
  bed: 'bed',
  rows: 100,
  across: 12,
  length_mm: 20000,
  entry_end: 'door',
  far_end: 'fan',
  aisles: 'both',
  lots: [lot('a', 1, 60), lot('b', 61, 100)],
  pots: [],
};
bed.pots = makePlan(bed, 1, 60).places.map((place, i) => ({
  id: `pot ${String(i).padStart(3, '0')}`,
  person: 's',
  at: i,
  now: {
    walk: 'w',
    bed: 'bed',
    lot: place.row > 60 ? 'b' : 'a',
    place,
    head_a_mm: 280 + ((i * 37) % 41),
    head_b_mm: 275 + ((i * 53) % 47),
    buds: 25 + ((i * 29) % 13),
    root_cover: 4,
    root_life: 4,
    chlorosis: 'none',
  },
}));

bench('a walk of 60 pots, scored again', () => {
  scoreBed(bed);
});

bench('its plan', () => {
  makePlan(bed, 1, 60);
});
