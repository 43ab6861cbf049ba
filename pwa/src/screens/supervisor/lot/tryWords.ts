/** What would change if a lot were planned otherwise: the plan as it stands beside what was tried, line by line. */
import type { CropPlan, SupplyWeek, TryView } from '../../../../../schema/types';
import { potSize } from '../../../words/entry';
import { day, number, shipWeek } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { lotLine, nameOfCrop } from '../../../words/names';
import { knownLots, nameOf, saidBooking, whyNothing } from '../plan/supplyWords';
import { nextOf, stepName, tenths } from './planWords';

export interface TriedLine {
  what: string;
  now: string;
  tried: string;
}

/** What a new booking is called in the weeks that were tried (schema.TriedID). */
const TRIED = 'tried';

/** The lot's or the booking's own lines, then those of each ship week that it is or would be in. */
export function triedLines(view: TryView, booking?: string): TriedLine[] {
  const weeks = new Map([...view.now, ...view.tried].map((week) => [keyOf(week), week]));
  return [
    ...view.lots.flatMap(({ now, tried }) => lotLines(now, tried)),
    ...(booking === undefined ? [] : [bookingLine(view, booking || TRIED)]),
    ...[...weeks].sort(([a], [b]) => (a < b ? -1 : 1)).flatMap(([key, week]) => weekLines(key, week, view)),
  ];
}

/** Why nothing is safe to promise in a week as it was tried, a sentence for each of its lots that has a reason of its own. */
export function whyNoneSafe({ tried }: TryView): string[] {
  const words = supervisorWords.value;
  return tried.flatMap((week) => {
    const all = week.grades.at(-1);
    if (week.lots.length === 0 || (all && all.safe > 0 && knownLots(week) > 0)) return [];
    const name = words.supply.kind(shipWeek(week.week), nameOfCrop(week.crop), potSize(week.pot_mm));
    if (!all) return [`${name}. ${words.supply.noGrades}`];
    const reasons = week.lots.map((lot) => [lot, whyNothing(lot)] as const).filter(([, why]) => why !== '');
    const said = reasons.map(([lot, why]) => `${lotLine(lot)}: ${why}`);
    // Where every lot is good for something, either bookings take it or no pot of it is sure of a grade.
    if (reasons.length < week.lots.length) {
      said.push(all.sure > 0 ? words.plan.tried.allBooked(number(all.sure)) : words.plan.tried.noneSure);
    }
    return said.map((each) => `${name}. ${each}`);
  });
}

/** Whether the booking can be met. */
function bookingLine(view: TryView, id: string): TriedLine {
  const words = supervisorWords.value.plan.tried;
  const said = (weeks: readonly SupplyWeek[]) => {
    const booking = weeks.flatMap((week) => week.bookings).find((each) => each.id === id);
    return booking ? saidBooking(booking)[1] : words.none;
  };
  return { what: words.booking, now: said(view.now), tried: said(view.tried) };
}

function lotLines(now: CropPlan, tried: CropPlan): TriedLine[] {
  const words = supervisorWords.value.plan.tried;
  const step = nextOf(tried) ?? nextOf(now);
  const line = (what: string, said: (plan: CropPlan) => string) => ({ what, now: said(now), tried: said(tried) });
  return [
    line(words.ready, ready),
    line(words.inTime, chance),
    ...(step ? [line(words.latest(stepName(step)), (plan) => dayOr(nextOf(plan)?.latest50 ?? ''))] : []),
  ];
}

function ready(plan: CropPlan): string {
  const words = supervisorWords.value.plan;
  const last = plan.steps.at(-1);
  if (!last || last.day50 === '') return words.tried.none;
  if (last.day90 === '') return words.openEnd(day(last.day50), day(last.day10));
  return words.between(day(last.day50), day(last.day10), day(last.day90));
}

function chance(plan: CropPlan): string {
  const words = supervisorWords.value.plan;
  if (plan.chance === undefined) return words.tried.none;
  return words.chanceShort(tenths(plan.chance));
}

function dayOr(written: string): string {
  return written === '' ? supervisorWords.value.plan.tried.none : day(written);
}

function keyOf({ week, crop, pot_mm: pot }: SupplyWeek): string {
  return `${week} ${crop} ${pot}`;
}

function weekLines(key: string, week: SupplyWeek, view: TryView): TriedLine[] {
  const words = supervisorWords.value.plan.tried;
  // A week without one of its sides has no lot and no booking there.
  const now = view.now.find((each) => keyOf(each) === key);
  const tried = view.tried.find((each) => keyOf(each) === key);
  const name = supervisorWords.value.supply.kind(shipWeek(week.week), nameOfCrop(week.crop), potSize(week.pot_mm));
  const line = (what: string, said: (of: SupplyWeek | undefined) => string) => ({
    what,
    now: said(now),
    tried: said(tried),
  });
  const count = (what: string, of: (week: SupplyWeek) => number) =>
    [now, tried].some((each) => each && of(each) > 0) ? [line(what, (each) => number(each ? of(each) : 0))] : [];
  return [
    ...week.grades.map(({ grade }, k) => line(words.safe(name, nameOf(week.grades, k, grade)), (of) => safe(of, k))),
    ...count(words.missing(name), ({ missing }) => missing),
    ...count(words.undecided(name), ({ undecided }) => undecided),
  ];
}

function safe(week: SupplyWeek | undefined, k: number): string {
  if (!week || week.lots.length === 0) return number(0);
  return knownLots(week) === 0 ? supervisorWords.value.supply.unknown : number(week.grades[k]?.safe ?? 0);
}
