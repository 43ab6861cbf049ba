import { counter, form } from '../plural';

const rows = counter('en', { one: 'row', other: 'rows' });
const more = (count: number) => `about ${count} more ${form('en', count, { one: 'pot', other: 'pots' })}`;

/** Where pots stand, and the way from one to the next. A figure in `way` is drawn large. */
export const guide = {
  place: (row: number, nth: number, from: string) => `row ${row}, ${ordinal(nth)} from ${from}`,
  rowOnly: (row: number) => `row ${row}`,
  rowColumn: 'row',
  named: (name: string) => `the ${name}`,
  nearSide: 'the near side',
  aisle: 'the aisle',
  onTheRight: (entry: string) => `the right, seen from the ${entry}`,
  onTheLeft: (entry: string) => `the left, seen from the ${entry}`,
  entry: 'entry',
  farEnd: 'far end',
  noPlaceNoted: 'Somewhere else',
  acrossFrom: (from: string) => `Counted from ${from}`,

  on: (count: number) => `${rows(count)} on`,
  back: (count: number, entry: string) => `${rows(count)} toward the ${entry}`,
  same: 'Same row',
  row: (row: number) => `Row ${row}`,
  rowFromFar: (row: number, far: string) => `Row ${row} from the ${far}`,
  way: (along: string, nth: number) => `${along} · ${nth}${tailOf(nth)} in`,
  inFrom: (nth: number, side: string) => `${nth}${tailOf(nth)} in from ${side}`,
  from: (side: string) => `from ${side}`,
  lot: (tag: string) => `tag ${tag}`,
  rowAt: (row: number, distance: string, entry: string) => `row ${row} · ${distance} from the ${entry}`,
  rowOn: (row: number, distance: string) => `row ${row} · ${distance} on`,
  rowBack: (row: number, distance: string) => `row ${row} · ${distance} from here`,
  otherSide: 'other side',
  otherLot: 'other lot',
  you: 'you',
  right: 'right-hand aisle',
  left: 'left-hand aisle',
  onlyAisle: 'aisle',
  noPlace: 'No pot chosen',
  noPlaceHow: 'Tap More, then Another pot, to say where it stands.',
  enough: 'Enough pots checked',
  enoughHow: 'Tap More, then End the walk. Or tap Another pot to add one.',
  wayOf: (bed: string, way: string) => `${bed}: ${way}`,

  bare: 'bare tips',
  notApplied: 'not applied yet',
  nothingToUndo: 'Nothing left to undo.',
  undoneHere: (last: number) => `Nothing left to undo here. Tap again to correct pot ${last}.`,
  correctPot: (pot: number) => `Correct pot ${pot}`,
  wasIs: (trait: string, was: string, is: string) => `${trait}: ${was} before, ${is} now`,
  moreNow: (count: number) => `Now ${more(count)}`,
  moreForRot: (count: number) => `Rot seen: ${more(count)}`,
  moreForPale: (count: number) => `Pale leaves seen: ${more(count)}`,
  moreForSpread: (count: number) => `Less even than before: ${more(count)}`,
  mayNeedForRot: 'Rot seen: may need more pots',
  mayNeedForPale: 'Pale leaves seen: may need more pots',
  fewerDecided: (count: number) => `Trouble is certain: about ${count} more`,
  fewerSound: (count: number) => `Last pots sound: about ${count} more`,
  fewerSure: (count: number) => `Surer than planned: about ${count} more`,
};

/** Made once: making one costs more than drawing the card on which it stands. */
const ordinals = new Intl.PluralRules('en', { type: 'ordinal' });

function tailOf(nth: number): string {
  const tail = { one: 'st', two: 'nd', few: 'rd' } as const;
  return tail[ordinals.select(nth) as keyof typeof tail] ?? 'th';
}

function ordinal(nth: number): string {
  const words = ['', 'first', 'second', 'third', 'fourth', 'fifth', 'sixth', 'seventh', 'eighth', 'ninth', 'tenth'];
  return words[nth] ?? `${nth}${tailOf(nth)}`;
}
