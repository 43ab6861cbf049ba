/** The guide's two lines lead to one pot: read as a scout reads them, they give back the place they were made of. */
import * as fc from 'fast-check';
import { afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import type { BedInput, Place } from '../../../../../schema/types';
import type { Plain } from '../../../journal/records/registers';
import type { Bed } from '../../../../../schema/types';
import { speak, units } from '../../../words';
import { sideOf } from '../../../words/place';
import { describeWay, groundOf, rowAt } from './Guide';
import { makePlan } from '../../../../../sync/bed/bed';
import { drawWay, inWalkingOrder, reachOf, wayTo } from './way';

const plain: Plain<Bed> = { id: 'b', rows: 60, across: 10, length_mm: 20_000, entry_end: 'door', far_end: 'fan' };
const named: Plain<Bed> = { ...plain, aisles: 'both', near_side: 'path side', far_side: 'wall side' };

const said = (bed: Plain<Bed>, to: Place, stands: Place | 'entry' | undefined) =>
  describeWay(bed, wayTo(groundOf(bed), to, stands))
    .filter(Boolean)
    .join(' ');
const at = (row: number, across: number): Place => ({ row, across });

beforeAll(() => speak('es'));
beforeEach(() => speak('en'));
afterEach(() => {
  units.value = { length: 'cm', temperature: 'C', volume: 'L' };
});

describe('the way to the next pot', () => {
  test.each([
    ['on, from the near side of two', named, at(21, 3), at(14, 2), '7 rows on · 3rd in from the path side'],
    ['on, from the far side of two', named, at(21, 8), at(14, 9), '7 rows on · 3rd in from the wall side'],
    ['round to the other aisle', named, at(21, 8), at(14, 2), 'Row 21 · 3rd in from the wall side'],
    ['round the far end', named, at(58, 8), at(57, 2), 'Row 3 from the fan · 3rd in from the wall side'],
    ['one row on', named, at(15, 1), at(14, 2), '1 row on · 1st in from the path side'],
    ['back toward the entry end', named, at(2, 9), at(60, 8), '58 rows toward the door 2nd in from the wall side'],
    ['one row back', named, at(13, 2), at(14, 2), '1 row toward the door 2nd in from the path side'],
    ['in the same row', named, at(14, 10), at(14, 7), 'Same row · 1st in from the wall side'],
    ['to the first pot', named, at(3, 4), 'entry', 'Row 3 · 4th in from the path side'],
    ['from nowhere known', named, at(60, 5), undefined, 'Row 60 · 5th in from the path side'],
    ['to the last row', named, at(60, 6), at(55, 9), '5 rows on · 5th in from the wall side'],
    ['the only aisle, near', { ...plain, aisles: 'near' }, at(21, 8), at(14, 2), '7 rows on · 8th in from the aisle'],
    ['the only aisle, far', { ...plain, aisles: 'far' }, at(21, 8), at(14, 2), '7 rows on · 3rd in from the aisle'],
    ['no word on aisles', plain, at(21, 8), at(14, 2), '7 rows on · 8th in from the aisle'],
    ['a bed one pot wide', { ...named, across: 1 }, at(21, 1), at(14, 1), '7 rows on'],
    ['a single row', { ...named, rows: 1 }, at(1, 7), at(1, 8), 'Same row · 4th in from the wall side'],
    [
      'the middle of an odd number',
      { ...named, across: 9 },
      at(9, 5),
      at(8, 5),
      '1 row on · 5th in from the path side',
    ],
    [
      'two sides without names',
      { ...plain, aisles: 'both' },
      at(21, 8),
      at(14, 7),
      '7 rows on · 3rd in from the left, seen from the door',
    ],
    [
      'two sides of one name',
      { ...named, far_side: 'Path side' },
      at(21, 3),
      at(14, 2),
      '7 rows on · 3rd in from the right, seen from the door',
    ],
  ] as [string, Plain<Bed>, Place, Place | 'entry' | undefined, string][])('%s', (_, bed, to, stands, sentence) => {
    expect(said(bed, to, stands)).toBe(sentence);
  });

  test('in Spanish', async () => {
    await speak('es');
    expect(said(named, at(21, 3), at(14, 2))).toBe('7 hileras adelante · 3.ª desde el lado «path side»');
    expect(said(named, at(58, 8), at(57, 2))).toBe('Hilera 3 desde «fan» · 3.ª desde el lado «wall side»');
    expect(said({ ...named, far_side: 'lado de la pared' }, at(13, 9), at(14, 8))).toBe(
      '1 hilera hacia «door» 2.ª desde el lado de la pared',
    );
    expect(said({ ...plain, aisles: 'both' }, at(14, 1), at(14, 2))).toBe(
      'Misma hilera · 1.ª desde la derecha, vista desde «door»',
    );
    expect(said({ ...plain, aisles: 'far' }, at(3, 10), 'entry')).toBe('Hilera 3 · 1.ª desde el pasillo');
    expect(rowAt(plain, 41, wayTo(groundOf(plain), at(41, 1), 'entry'))).toBe('hilera 41 · a 13.5\u202fm de «door»');
  });

  test('says when the scout must go around to the other aisle, and only then', () => {
    const changes = (to: Place, stands: Place | 'entry' | undefined, bed = named) =>
      wayTo(groundOf(bed), to, stands).changesSide;
    expect(changes(at(20, 8), at(14, 2))).toBe(true);
    expect(changes(at(20, 3), at(14, 2))).toBe(false);
    expect(changes(at(20, 8), 'entry')).toBe(false);
    expect(changes(at(20, 8), at(14, 2), { ...plain, aisles: 'near' })).toBe(false);
  });

  test('the distance is to the middle of the row, in the units of the person', () => {
    // Row 41 of 60 on 20 m: 40.5 / 60 × 20 m = 13.5 m; 13.5 m are 44.3 ft (1 ft is 304.8 mm by definition).
    expect(rowAt(plain, 41, wayTo(groundOf(plain), at(41, 1), 'entry'))).toBe('row 41 · 13.5\u202fm from the door');
    units.value = { ...units.value, length: 'in' };
    expect(rowAt(plain, 41, wayTo(groundOf(plain), at(41, 1), 'entry'))).toBe('row 41 · 44\u202fft from the door');
    // Row 1 is 167 mm in, row 4 is 1,167 mm (3.8 ft), row 12 is 3,833 mm (12.6 ft).
    const row = (at: number) => rowAt(plain, at, { along: 'at', rows: at, from: undefined, changesSide: false });
    expect([1, 4, 12].map(row)).toEqual([
      'row 1 · 7\u202fin from the door',
      'row 4 · 4\u202fft from the door',
      'row 12 · 12½\u202fft from the door',
    ]);
    units.value = { ...units.value, length: 'cm' };
    expect([1, 4].map(row)).toEqual(['row 1 · 20\u202fcm from the door', 'row 4 · 1.2\u202fm from the door']);
    const { length_mm: _, ...unmeasured } = plain;
    expect(rowAt(unmeasured, 41, wayTo(groundOf(unmeasured), at(41, 1), 'entry'))).toBe('row 41');
  });
});

/** Where a scout who stands in a row and counts from the aisle that is named comes out. Reads the English sentence alone. */
function walked(bed: Plain<Bed>, sentence: string, from: number): Place | undefined {
  const read =
    /^(?:(?<on>\d+) rows? on|(?<back>\d+) rows? toward the (?<end>\w+)|(?<same>Same row)|Row (?<far>\d+) from the far end|Row (?<row>\d+))(?:(?: · | )(?<nth>\d+)(?:st|nd|rd|th) in from (?<side>.+))?$/.exec(
      sentence,
    )?.groups;
  if (!read || (read['end'] ?? bed.entry_end ?? 'entry') !== (bed.entry_end ?? 'entry')) return undefined;
  const absolute = read['far'] ? (bed.rows ?? 1) + 1 - Number(read['far']) : Number(read['row']);
  const row = read['far'] || read['row'] ? absolute : from + Number(read['on'] ?? 0) - Number(read['back'] ?? 0);
  if (read['nth'] === undefined) return { row, across: 1 };
  // An aisle that both sides could be meant by leads nowhere.
  const sides = (['near', 'far'] as const).filter((side) => {
    const canWalk = bed.aisles === side || bed.aisles === 'both' || (side === 'near' && bed.aisles === undefined);
    return canWalk && sideOf(bed, side) === read['side'];
  });
  if (sides.length !== 1) return undefined;
  const nth = Number(read['nth']);
  return { row, across: sides[0] === 'near' ? nth : (bed.across ?? 1) + 1 - nth };
}

/** Beds of every kind that the schema takes, those of the demo among them: two aisles or one, named or not. */
const anyBed = fc.record(
  {
    id: fc.constant('b'),
    rows: fc.integer({ min: 1, max: 200 }),
    across: fc.integer({ min: 1, max: 30 }),
    aisles: fc.constantFrom('near' as const, 'far' as const, 'both' as const),
    entry_end: fc.constantFrom('door', 'road'),
    near_side: fc.constantFrom('path side', 'wall', 'north'),
    far_side: fc.constantFrom('wall side', 'wall', 'South'),
  },
  { requiredKeys: ['id', 'rows', 'across'] },
);

const anyWay = anyBed.chain((bed) => {
  const place = fc.record({
    row: fc.integer({ min: 1, max: bed.rows }),
    across: fc.integer({ min: 1, max: bed.across }),
  });
  return fc.record({
    bed: fc.constant(bed as Plain<Bed>),
    to: place,
    last: place,
    next: fc.array(place, { maxLength: 2 }),
  });
});

test('from any place of any bed the two lines lead to the pot that they were made of, and to no other', () => {
  fc.assert(
    fc.property(anyWay, ({ bed, to, last }) => {
      for (const stands of [last, 'entry', undefined] as const) {
        expect(walked(bed, said(bed, to, stands), stands === last ? last.row : 0)).toEqual(to);
      }
    }),
    { numRuns: 2000 },
  );
});

test('no pot of a bed with two aisles is counted past its middle', () => {
  for (const across of [2, 3, 9, 10, 14]) {
    for (let place = 1; place <= across; place++) {
      const { from } = wayTo({ rows: 10, across, aisles: 'both' }, at(1, place), undefined);
      expect(from?.nth).toBeLessThanOrEqual(Math.ceil(across / 2));
    }
  }
});

test('every mark of the next metres is whole, and the pot is among the rows that are drawn', () => {
  const size = fc.record({ width: fc.integer({ min: 320, max: 640 }), height: fc.integer({ min: 42, max: 190 }) });
  fc.assert(
    fc.property(anyWay, size, ({ bed, to, last, next }, { width, height }) => {
      for (const stands of [last, 'entry', undefined] as const) {
        const ground = groundOf(bed);
        const reach = reachOf(ground.rows, to, stands, next);
        expect(reach.from).toBeGreaterThanOrEqual(1);
        expect(reach.to).toBeLessThanOrEqual(ground.rows);
        const drawn = drawWay(ground, reach, to, stands, { width, height });
        expect(drawn.isIn(to)).toBe(true);
        // Half of the ring's stroke lies outside its radius.
        const marks = [{ ...drawn.to, r: drawn.to.r + 1.75 }, ...(drawn.you ? [drawn.you] : [])];
        for (const place of [last, ...next].filter(drawn.isIn))
          marks.push({ x: drawn.x(place.row), y: drawn.y(place.across), r: 5.75 });
        for (const { x, y, r } of marks) {
          expect(Math.min(x - r, y - r, width - x - r, height - y - r)).toBeGreaterThanOrEqual(0);
        }
      }
    }),
    { numRuns: 500 },
  );
});

/** Rows walked along the aisles, from the entry end and back to it: to another aisle round the entry end, or the far one where that is nearer. */
function rowsWalked(ground: { rows: number; across: number; aisles: string | undefined }, places: readonly Place[]) {
  let sum = 0;
  let [row, isFar] = [0, false];
  for (const place of places) {
    const { from } = wayTo(ground, place, undefined);
    const next = from?.side === 'far';
    sum += isFar === next ? Math.abs(place.row - row) : Math.min(row + place.row, 2 * ground.rows - row - place.row);
    [row, isFar] = [place.row, next];
  }
  return sum + row;
}

describe('the order of a walk', () => {
  const bed = (aisles: string): BedInput => ({
    bed: 'b',
    rows: 175,
    across: 11,
    length_mm: 29_750,
    entry_end: 'door',
    far_end: 'fan',
    aisles,
    lots: [],
    pots: [],
  });

  test.each(['both', 'near', 'far'])(
    'goes to the other aisle once at most, and never turns on its way (%s)',
    (aisles) => {
      const input = bed(aisles);
      for (let seed = 1; seed <= 50; seed++) {
        const { places } = makePlan(input, seed, 28);
        const walk = inWalkingOrder(input, places);
        expect(new Set(walk)).toEqual(new Set(places));
        let changes = 0;
        walk.slice(1).forEach((to, i) => {
          const { along, changesSide } = wayTo(input, to, walk[i]);
          if (changesSide) changes++;
          else expect(along).not.toBe(changes > 0 ? 'on' : 'back');
        });
        expect(changes).toBe(aisles === 'both' ? 1 : 0);
        // There and back; a plan as it is listed leads several times as far.
        expect(rowsWalked(input, walk)).toBeLessThanOrEqual(2 * input.rows);
        if (aisles === 'both') expect(rowsWalked(input, places)).toBeGreaterThan(4 * input.rows);
      }
    },
  );

  test('a scout who goes round is drawn in the aisle of the last pot, and the way only leads in', () => {
    const size = { width: 390, height: 160 };
    const ground = groundOf(named);
    const drawn = drawWay(ground, { from: 10, to: 30 }, at(21, 8), at(14, 2), size);
    expect(drawn.you?.side).toBe('near');
    expect(drawn.you?.y).toBeGreaterThan(drawn.bottom);
    expect(drawn.route.startsWith(`M${drawn.to.x} `)).toBe(true);
  });

  test('a long way along the aisle has its length, a short one is counted', async () => {
    const line = (row: number, from: number) => rowAt(plain, row, wayTo(groundOf(plain), at(row, 1), at(from, 1)));
    // 60 rows on 20 m: 30 rows are 10 m.
    expect(line(41, 11)).toBe('row 41 · 10.0\u202fm on');
    expect(line(11, 41)).toBe('row 11 · 10.0\u202fm from here');
    expect(line(41, 32)).toBe('row 41 · 13.5\u202fm from the door');
    // Around at the far end the way counts from there: row 55 is the 6th, and 5.5 of 60 rows are 1.8 m.
    const around = wayTo(groundOf(named), at(55, 9), at(50, 1));
    expect(rowAt(named, 55, around)).toBe('row 55 · 1.8\u202fm from the fan');
    await speak('es');
    expect(line(41, 11)).toBe('hilera 41 · 10.0\u202fm adelante');
  });
});
