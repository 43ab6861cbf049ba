/** How right the plan was, in words. */
import type { RightCount, RightLot, RightSaid, RightScore } from '../../../../../schema/types';
import { word } from '../../../words/entry';
import { day, number, percent, shipWeek } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { nameOfCrop } from '../../../words/names';
import { tenths } from '../lot/planWords';

/** How often something came true, with the interval of its share. */
export function saidCount({ count, n, low, high }: RightCount): string {
  const words = supervisorWords.value.right;
  return n === 0 ? words.none : words.of(count, n, percent(low), percent(high));
}

/** Days late or early; halves come of a median of an even number of lots. */
export function saidLate(late: number | undefined): string {
  const words = supervisorWords.value.right;
  if (late === undefined) return '';
  if (late === 0) return words.onTime;
  const size = Math.abs(late);
  const written = words.days(size, number(size, Number.isInteger(size) ? 0 : 1));
  return late > 0 ? words.late(written) : words.early(written);
}

/** Whose score it is. */
export function nameOfScore({ crop, cultivar }: RightScore): string {
  const words = supervisorWords.value.right;
  if (crop === '') return words.all;
  return cultivar === '' ? nameOfCrop(crop) : words.cultivar(nameOfCrop(crop), cultivar);
}

/** The ready day that was said, or why none was. */
export function saidReady(said: RightSaid): string {
  const words = supervisorWords.value.right;
  if (said.problem !== '') return word(words.problem, said.problem);
  if (said.ready50 === '' || said.ready05 === '') return words.unknownDay;
  const [likely, from] = [day(said.ready50), day(said.ready05)];
  return said.ready95 === '' ? words.open(likely, from) : words.span(likely, from, day(said.ready95));
}

/** What was said of the lot's week, and what came of it. */
export function saidInTime(said: RightSaid): string[] {
  const words = supervisorWords.value;
  if (said.problem !== '') return [];
  if (said.chance === undefined || said.in_time === undefined) return [words.right.noWeek];
  return [
    words.right.week(words.plan.chanceShort(tenths(said.chance)), shipWeek(said.ship_week)),
    said.in_time ? words.right.made : words.right.missed,
  ];
}

/** How many pots were sure, and how many shipped. */
export function saidSure(said: RightSaid): string[] {
  const words = supervisorWords.value.right;
  if (said.problem !== '') return [];
  if (said.sure === undefined) return [words.noSure];
  const both = words.sure(said.sure, said.shipped);
  if (said.held === undefined) return [both, words.moved];
  return [both, said.held ? words.made : words.missed];
}

/** The shares in grade that were said, each beside what the last walk before shipping saw. */
export function saidShares(lot: RightLot, said: RightSaid): string[] {
  const words = supervisorWords.value.right;
  if (said.problem !== '') return [];
  if (said.shares.length === 0) return [words.noShares];
  return said.shares.map(({ grade, share, low, high }) => {
    const told = words.grade(grade, percent(share), percent(low), percent(high));
    const k = lot.walk?.grades.indexOf(grade) ?? -1;
    const saw = lot.walk?.in[k];
    return lot.walk && saw !== undefined ? `${told}, ${words.saw(saw, lot.walk.seen)}` : told;
  });
}
