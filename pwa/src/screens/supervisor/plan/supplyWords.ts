/** A ship week in words: what a number of it rests on, and which bookings cannot be met. */
import type {
  ClosedBooking,
  SupplyBooking,
  SupplyCultivar,
  SupplyGrade,
  SupplyLot,
  SupplyWeek,
} from '../../../../../schema/types';
import { day, list, number, percent, shipWeek } from '../../../words/format';
import { potSize, word } from '../../../words/entry';
import { supervisorWords } from '../../../words/supervisor';
import { nameOfCrop } from '../../../words/names';
import { tenths } from '../lot/planWords';

/** A lot is safe by itself from this chance of being ready on (supply.Risk). */
const SAFE = 0.95;

function isKnown({ basis }: SupplyLot): boolean {
  return basis === 'walk' || basis === 'earlier';
}

export function knownLots(week: SupplyWeek): number {
  return week.lots.filter(isKnown).length;
}

/** What is booked of a grade and of better ones, since both take from its pots. */
export function bookedUpTo(grades: readonly SupplyGrade[], grade: SupplyGrade): number {
  return grades.slice(0, grades.indexOf(grade) + 1).reduce((sum, each) => sum + each.booked, 0);
}

/** The chance that the pots do not suffice; an upper limit where lots are left out of which nothing is known. */
export function saidShort(week: SupplyWeek, grade: SupplyGrade): string {
  const words = supervisorWords.value;
  if (bookedUpTo(week.grades, grade) === 0) return '';
  if (week.lots.length > 0 && knownLots(week) === 0) return words.supply.unknown;
  const chance = words.plan.chanceShort(tenths(grade.short));
  return knownLots(week) < week.lots.length ? words.supply.atMost(chance) : chance;
}

/** The greatest chance of too few, of the grades that are booked. */
export function worstShort(week: SupplyWeek): string {
  const booked = week.grades.filter((grade) => bookedUpTo(week.grades, grade) > 0);
  const worst = booked.reduce<SupplyGrade | undefined>(
    (most, grade) => (most && most.short >= grade.short ? most : grade),
    undefined,
  );
  return worst ? saidShort(week, worst) : '';
}

/**
 * How it stands with the bookings of a week that are not sure, the worst of them, by the chance as it is said beside it: over where none of the week's
 * pots can serve one or it is short in over 9 cases of 10, likely where it is short in 5 of 10 or more, else may.
 */
export function riskOf({ short }: SupplyWeek): 'over' | 'likely' | 'may' | undefined {
  if (short === undefined) return undefined;
  const said = tenths(short);
  return said === 10 ? 'over' : said >= 5 ? 'likely' : 'may';
}

/** What is booked: of all grades together, and how much of it is of the best; or of the one grade that is booked. */
export function saidBooked({ grades, bookings }: SupplyWeek): string {
  const { gradeSure, line } = supervisorWords.value.supply;
  const all = bookings.reduce((sum, { open }) => sum + open, 0);
  const [best, ...others] = grades.filter(({ booked }) => booked > 0);
  if (!best) return number(all);
  if (others.length === 0) return gradeSure(number(all), best.grade);
  return best === grades[0] ? line.safe(number(all), gradeSure(number(best.booked), best.grade)) : number(all);
}

/** What is safe to promise: of the best grade, and where there are lesser ones of all of them. */
export function saidSafe(grades: readonly SupplyGrade[]): string {
  const [best, all] = [grades[0], grades.at(-1)];
  if (!best || !all) return '';
  const { gradeSure, line } = supervisorWords.value.supply;
  if (all.safe === 0) return number(0);
  if (best.safe === all.safe) return gradeSure(number(best.safe), best.grade);
  if (best.safe === 0) return gradeSure(number(all.safe), nameOf(grades, grades.length - 1, all.grade));
  return line.safe(number(all.safe), gradeSure(number(best.safe), best.grade));
}

/** What is sure of each grade before bookings are taken off, and what the lots' own numbers would add up to. */
export function saidSure(grades: readonly SupplyGrade[]): string[] {
  const words = supervisorWords.value.supply;
  return grades.map((grade, k) => {
    const sure = words.sureOf(nameOf(grades, k, grade.grade), number(grade.sure), number(grade.expected));
    return grade.lots_alone === grade.sure ? sure : `${sure} ${words.alone(number(grade.lots_alone))}`;
  });
}

/** Why a lot by itself is good for nothing in the week; '' where it is good for something. */
export function whyNothing(lot: SupplyLot): string {
  const words = supervisorWords.value.supply;
  if (!isKnown(lot)) return word({ ...words.basis, walk: '', earlier: '' }, lot.basis);
  if (lot.ready >= SAFE) return '';
  return lot.safe_week === '' ? words.notSafeEver : words.notSafe(shipWeek(lot.safe_week));
}

/** What a lot brings to the week, a sentence each. */
export function saidLot(lot: SupplyLot, grades: readonly SupplyGrade[]): string[] {
  const words = supervisorWords.value.supply;
  const nothing = whyNothing(lot);
  if (!isKnown(lot)) return [nothing];
  const basis =
    lot.basis === 'walk'
      ? words.basis.walk(lot.seen, lot.whole, lot.pots, day(lot.on), list([...new Set(lot.scouts ?? [])]))
      : words.basis.earlier(lot.earlier);
  const ready = words.ready(supervisorWords.value.plan.chanceShort(tenths(lot.ready)));
  const said = [basis, ready, saidLeft(lot)];
  if (nothing !== '') {
    said.push(nothing);
  } else {
    said.push(words.sure(eachGrade(lot.sure, grades)));
    // A view that an earlier build kept does not say.
    if (lot.safe) said.push(words.safeOf(eachGrade(lot.safe, grades)));
    const leans = (lot.leans ?? []).reduce((sum, pots) => sum + pots, 0);
    if (leans > 0) said.push(words.leans(leans));
  }
  return said;
}

/** The share of its pots that is left, with its limits, and whose word that is. */
function saidLeft({ survive, survive_limits: limits, own_loss: own, loss_basis: basis }: SupplyLot): string {
  const words = supervisorWords.value.supply;
  // Rounded down: 99.98 % is not all of them.
  const share = (value: number) => percent(Math.floor(value * 1000) / 1000, 1);
  const said = limits ? words.between(share(survive), share(limits.low), share(limits.high)) : share(survive);
  if (own) return words.left(said);
  return basis === 'stages' ? words.leftStages(said) : words.leftCrop(said);
}

export function nameOf(grades: readonly SupplyGrade[], place: number, grade: string): string {
  return place === 0 || grades.length === 1 ? grade : supervisorWords.value.supply.orBetter(grade);
}

/** A booking that names no lot, of which nothing is open. */
export function saidClosed({ buyer, pots, grade, crop, cultivar, pot_mm: pot, week }: ClosedBooking): string {
  const words = supervisorWords.value.supply;
  const of = bookedOf({ lot: '', tag: '', crop, cultivar, pot_mm: pot });
  const said = words.booking(buyer || words.noBuyer, pots, grade || words.noGrade, of);
  return week === '' ? said : `${shipWeek(week)}: ${said}`;
}

type Taken = Pick<SupplyBooking, 'lot' | 'tag' | 'crop' | 'cultivar' | 'pot_mm'>;

/** What a booking takes from: its lot, or any lot of a cultivar or crop in a pot size. */
function bookedOf({ lot, tag, crop = '', cultivar = '', pot_mm: pot = 0 }: Taken): string {
  const words = supervisorWords.value.supply;
  const name = cultivar || nameOfCrop(crop);
  if (lot !== '' || name === '') return tag || words.noLot;
  return words.anyOf(pot === 0 ? name : `${name}, ${potSize(pot)}`);
}

/** What may be promised of a cultivar's lots, a grade each. */
export function saidCultivar({ cultivar, sure, safe }: SupplyCultivar, grades: readonly SupplyGrade[]): string {
  return supervisorWords.value.supply.cultivar(cultivar, eachGrade(safe, grades), eachGrade(sure, grades));
}

function eachGrade(pots: readonly number[], grades: readonly SupplyGrade[]): string {
  const { gradeSure } = supervisorWords.value.supply;
  return list(grades.map(({ grade }, k) => gradeSure(number(pots[k] ?? 0), nameOf(grades, k, grade))));
}

/** A booking, and what of it cannot be met and why. */
export function saidBooking(booking: SupplyBooking): [booking: string, outcome: string] {
  const words = supervisorWords.value.supply;
  const { buyer, open, grade, missing, why, other_week: other } = booking;
  const said = words.booking(buyer || words.noBuyer, open, grade || words.noGrade, bookedOf(booking));
  if (missing === 0) return [said, words.met];
  const outcome = [words.why[why as keyof typeof words.why](missing)];
  if (why === 'few' || why === 'not_ready' || why === 'earlier') {
    const short = supervisorWords.value.plan.chanceShort(tenths(booking.short));
    outcome.push(words.shortOf(short));
  }
  if (why === 'week' && other !== '') {
    outcome.push(other === '-' ? words.lotNoWeek : words.otherWeek(shipWeek(other)));
  }
  if (booking.elsewhere > 0) outcome.push(words.elsewhere(booking.elsewhere));
  return [said, outcome.join(' ')];
}
