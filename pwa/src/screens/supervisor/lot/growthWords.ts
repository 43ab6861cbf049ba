/** How a lot's heads grow, in words. */
import type { GrowthCross, GrowthTarget, LotGrowth } from '../../../../../schema/types';
import { day, length } from '../../../words/format';
import { potSize, word } from '../../../words/entry';
import { supervisorWords } from '../../../words/supervisor';

/** What the fit comes to, a sentence each; today as the schema writes a day. */
export function saidGrowth(growth: LotGrowth, today: string): string[] {
  const words = supervisorWords.value.growth;
  if (growth.fit === '') return [words.none];
  // These two are not for want of walks, so “too early” would be false.
  const said = growth.why === 'fit' || growth.why === 'below' ? words.lineForLack : words.line;
  const first =
    growth.fit === 'curves' ? words.curves(growth.walks.length) : said(growth.line_of, word(words.why, growth.why));
  return [
    first,
    ...saidBand(growth),
    ...(growth.low ? [saidCross(growth.low, today, words.reaches)] : []),
    ...(growth.high ? [saidCross(growth.high, today, words.passes)] : []),
    ...(growth.regulator === '' ? (growth.high ? [words.window] : []) : [words.put(day(growth.regulator))]),
    ...(growth.ship
      ? [words.ship(day(growth.ship.on), length(growth.ship.mm), length(growth.ship.low), length(growth.ship.high))]
      : []),
  ];
}

function saidBand({ grade, low, high, target }: LotGrowth): string[] {
  const words = supervisorWords.value.growth;
  if (low && high) return [words.band(grade, length(low.mm), length(high.mm))];
  if (low) return [words.bandFrom(grade, length(low.mm))];
  if (high) return [words.bandTo(grade, length(high.mm))];
  return target ? [] : [words.noBand];
}

function saidCross(
  cross: GrowthCross,
  today: string,
  between: (size: string, from: string, to: string) => string,
): string {
  const words = supervisorWords.value.growth;
  const size = length(cross.mm);
  if (cross.late !== '' && cross.late <= today) return words.reached(size, day(cross.late));
  if (cross.early === '') return words.reachesNever(size);
  if (cross.late === '') return words.reachesOpen(size, day(cross.early));
  return between(size, day(cross.early), day(cross.late));
}

/** Where the mean head of the last walk lies in the grower's own band; nothing where none is written or nothing was measured. */
export function saidTarget({ target, walks }: LotGrowth): string[] {
  const words = supervisorWords.value.growth.target;
  const [last, walk] = [target?.last, walks.at(-1)];
  const [first, end] = [target?.rows[0], target?.rows.at(-1)];
  if (!last || !walk || !first || !end) return [];
  const seen = words.seen(day(last.on), last.day, length(walk.mm), length(walk.low), length(walk.high));
  const [low, high] = [length(last.low), length(last.high)];
  switch (last.where) {
    case 'inside':
      return [words.inside(seen, low, high)];
    case 'below':
      return [words.below(seen, length(last.by), low, high)];
    case 'above':
      return [words.above(seen, length(last.by), low, high)];
    case 'unsure':
      return [words.unsure(seen, low, high)];
    case 'no_band':
      return [first.day === end.day ? words.oneDay(seen, first.day) : words.noDay(seen, first.day, end.day)];
    default:
      return [];
  }
}

/** The band row by row, for whoever reads the plot as words. */
export function saidRows({ pot_mm: pot, rows }: GrowthTarget): string {
  const words = supervisorWords.value.growth.target;
  const each = rows.map((row) => words.row(row.day, length(row.low), length(row.high)));
  return words.rows(pot > 0 ? potSize(pot) : undefined, each.join('; '));
}
