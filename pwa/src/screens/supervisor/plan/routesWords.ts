/** What a lot brings on either route, in words: both answers, and what decides them. */
import type { MissingCost, RouteGrade, RouteLot, RouteSums } from '../../../../../schema/types';
import { word } from '../../../words/entry';
import { day, list, locale, percent } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { tenths } from '../lot/planWords';

export type Money = (hundredths: number) => string;

/** Writes hundredths of a currency; bare numbers where nobody chose one. */
export function moneyIn(currency: string): Money {
  const written = new Intl.NumberFormat(locale(), {
    ...(currency === '' ? {} : { style: 'currency', currency }),
    minimumFractionDigits: 2,
    maximumFractionDigits: 2,
  });
  // What rounds to nothing has no sign.
  return (hundredths) => written.format(Math.round(hundredths) / 100 + 0);
}

/** What the shares rest on, with each grade's count and interval. */
export function saidBasis(lot: RouteLot): string {
  const words = supervisorWords.value.routes;
  const grades = list(
    lot.grades.map(({ grade, share, seen }) =>
      seen
        ? words.gradeSeen(grade, seen.x, percent(seen.interval.low), percent(seen.interval.high))
        : words.gradeShare(grade, percent(share)),
    ),
  );
  return lot.basis === 'walk'
    ? words.basis.walk(grades, lot.whole, day(lot.on))
    : words.basis.earlier(grades, lot.earlier);
}

/** Which route leaves more; `disagree` where it is another by the pot than by the bench. */
const answers = ['florist', 'nursery', 'disagree', 'same', 'unknown'] as const;
export type Answer = (typeof answers)[number];

/** The lots by their answer, without answers that none has. */
export function byAnswer(lots: readonly RouteLot[]): [Answer, RouteLot[]][] {
  return answers
    .map((answer): [Answer, RouteLot[]] => [answer, lots.filter((lot) => answerOf(lot) === answer)])
    .filter(([, these]) => these.length > 0);
}

export function answerOf(lot: RouteLot): Answer {
  const more = byPot(lot);
  if (more === undefined) return 'unknown';
  const pot = Math.sign(Math.round(more));
  const bench = Math.sign(Math.round(byBench(lot) ?? 0));
  if (pot * bench < 0) return 'disagree';
  return pot + bench > 0 ? 'florist' : pot + bench < 0 ? 'nursery' : 'same';
}

/** How much more the florist route leaves by the pot, in hundredths; less than 0 where it is the nursery route. */
function byPot({ florist, nursery }: RouteLot): number | undefined {
  return florist.margin_c === undefined || nursery.margin_c === undefined
    ? undefined
    : florist.margin_c - nursery.margin_c;
}

/** The same by the square metre of bench and week. */
function byBench({ florist, nursery }: RouteLot): number | undefined {
  return florist.bench_c === undefined || nursery.bench_c === undefined ? undefined : florist.bench_c - nursery.bench_c;
}

export interface RouteLine {
  pot: string;
  bench: string;
  /** That the florist route leaves more by the pot, "" where no share decides it or nobody can say. */
  chance: string;
  ready: string;
  /** Costs are missing from sums that are known otherwise. */
  isPart: boolean;
}

/** A lot in a line: what differs between the routes. */
export function lineOf(lot: RouteLot, today: string, money: Money): RouteLine {
  const words = supervisorWords.value.routes;
  const { florist, nursery, chance, wait_c: wait } = lot;
  const [pot, bench] = [byPot(lot), byBench(lot)];
  // Where one route is over there is no bench left to compare: what counts is what waiting brings.
  const saidBench = () => {
    if (bench !== undefined) return better(words.brief, bench, money);
    if (wait !== undefined) return wait < 0 ? words.brief.waitLoses(money(-wait)) : words.brief.wait(money(wait));
    return florist.weeks + nursery.weeks === 0 ? words.noBench : words.unknown;
  };
  const on = ({ ready }: RouteSums) => (ready === today ? words.now : day(ready));
  return {
    pot: pot === undefined ? words.unknown : better(words.brief, pot, money),
    bench: saidBench(),
    chance: chance === undefined ? '' : supervisorWords.value.plan.chanceShort(tenths(chance)),
    ready: words.brief.ready(on(florist), on(nursery)),
    isPart: pot !== undefined && costsMissing(lot).length > 0,
  };
}

/** The answer by the pot. */
export function saidByPot(lot: RouteLot, money: Money): string {
  const words = supervisorWords.value.routes;
  const more = byPot(lot);
  return more === undefined ? words.unknown : better(words.byPot, more, money);
}

function better(
  words: { florist: (more: string) => string; nursery: (more: string) => string; same: string },
  more: number,
  money: Money,
): string {
  if (Math.round(more) === 0) return words.same;
  return more > 0 ? words.florist(money(more)) : words.nursery(money(-more));
}

/** The answer by the bench: the margins side by side, what waiting brings, and whether it is another answer than by the pot. */
export function saidByBench(lot: RouteLot, money: Money): string[] {
  const words = supervisorWords.value.routes;
  const { florist, nursery, wait_c: wait } = lot;
  if (byPot(lot) === undefined) return [];
  if ([florist, nursery].some(({ missing }) => missing.some(({ what }) => what === 'pots_m2'))) {
    return [words.byBench.unknown];
  }
  const said: string[] = [];
  const more = byBench(lot);
  if (more !== undefined) {
    said.push(better(words.byBench, more, money));
    if (answerOf(lot) === 'disagree') said.push(words.disagree);
  } else if (florist.bench_c === undefined && nursery.bench_c === undefined) {
    said.push(words.byBench.none);
  }
  if (wait !== undefined) said.push(words.wait(money(wait)));
  return said;
}

/** What the price of the best grade, and the share of it, would have to be; and what is asked where a price is missing. */
export function saidEven(lot: RouteLot, money: Money): string[] {
  const words = supervisorWords.value.routes;
  const said = lot.grades.flatMap((grade) => (grade.price_c === undefined ? saidMissing(grade, money) : []));
  const [best] = lot.grades;
  const more = byPot(lot);
  if (best?.price_c === undefined || more === undefined) return said;
  const { break_even_price_c: price, break_even_share: share, chance } = lot;
  if (price !== undefined && price >= 0) said.push(words.evenPrice(best.grade, money(price), money(best.price_c)));
  if (share !== undefined && share > 0 && share < 1) {
    const now = percent(best.share);
    const even = lot.basis === 'walk' ? words.evenShare : words.evenShareEarlier;
    said.push(even(percent(share), best.grade, now));
    if (chance !== undefined) said.push(words.chance(supervisorWords.value.plan.chanceShort(tenths(chance))));
  } else if (chance !== undefined && Math.round(more) !== 0) {
    said.push(words.whatever[more > 0 ? 'florist' : 'nursery'](best.grade));
  }
  return said;
}

function saidMissing(grade: RouteGrade, money: Money): string[] {
  const words = supervisorWords.value.routes;
  const missing = words.priceMissing(grade.grade);
  if (grade.needed_c === undefined) return [missing];
  return [
    missing,
    grade.needed_c < 0 ? words.priceNever(grade.grade) : words.priceNeeded(grade.grade, money(grade.needed_c)),
  ];
}

/** The costs that nobody wrote, and how much they may be before they change the answer by the pot. */
export function saidCosts(lot: RouteLot, money: Money): string[] {
  const words = supervisorWords.value.routes;
  const missing = costsMissing(lot);
  if (missing.length === 0) return [];
  const said = [words.notWritten(list(missing.map(nameOfCost)))];
  const more = byPot(lot);
  if (more !== undefined && Math.round(more) !== 0) {
    said.push(more > 0 ? words.mayCost(money(more)) : words.mayCostNursery(money(-more)));
  }
  return said;
}

function costsMissing({ florist, nursery }: RouteLot): MissingCost[] {
  const all = new Map([...florist.missing, ...nursery.missing].map((one) => [`${one.what} ${one.stage}`, one]));
  return [...all.values()];
}

function nameOfCost({ stage, what }: MissingCost): string {
  const words = supervisorWords.value.routes.missing;
  if (what === 'wage' || what === 'space') return words[what];
  return words[what as 'labour' | 'material' | 'pots_m2'](word(supervisorWords.value.plan.stage, stage));
}

export interface SumLine {
  key: string;
  title: string;
  florist: string;
  nursery: string;
  /** The line that the others add up to. */
  isSum?: boolean;
}

/** The sums, a line each, both routes beside each other. */
export function linesOf({ florist, nursery }: RouteLot, today: string, money: Money): SumLine[] {
  const words = supervisorWords.value.routes;
  const both = (key: string, title: string, of: (sums: RouteSums) => string): SumLine => ({
    key,
    title,
    florist: of(florist),
    nursery: of(nursery),
  });
  const cost = (key: string, title: string, of: (sums: RouteSums) => number, whats: readonly string[]) =>
    both(key, title, (sums) => {
      const isPart = sums.missing.some(({ what }) => whats.includes(what));
      const sum = money(-of(sums));
      return !isPart ? sum : of(sums) === 0 ? words.unknown : words.partly(sum);
    });
  const known = (value: number | undefined) => (value === undefined ? words.unknown : money(value));
  return [
    both('ready', words.ready, ({ ready, weeks }) =>
      ready === today ? words.now : words.readyOn(day(ready), Math.round(weeks)),
    ),
    both('lost', words.lost, saidLoss),
    both('sales', words.sales, ({ sales_c: sales }) => known(sales)),
    cost('labour', words.labour, (sums) => sums.labour_c, ['labour', 'wage']),
    cost('material', words.material, (sums) => sums.material_c, ['material']),
    cost('space', words.space, (sums) => sums.space_c, ['space', 'pots_m2']),
    {
      ...both('margin', words.margin, ({ margin_c: margin, margin_limits: limits, missing }) => {
        if (margin === undefined) return words.unknown;
        const said = limits ? words.within(money(margin), money(limits.low), money(limits.high)) : money(margin);
        return missing.length === 0 ? said : words.partly(said);
      }),
      isSum: true,
    },
    {
      ...both('bench', words.bench, ({ bench_c: bench, weeks, margin_c: margin }) =>
        bench === undefined && weeks === 0 && margin !== undefined ? words.noBench : known(bench),
      ),
      isSum: true,
    },
  ];
}

function saidLoss({ loss, loss_limits: limits, own_loss: own, loss_basis: basis }: RouteSums): string {
  const words = supervisorWords.value.routes;
  const share = (value: number) => percent(value, 1);
  const said = limits ? words.within(share(loss), share(limits.low), share(limits.high)) : share(loss);
  if (own) return words.lostOwn(said);
  return basis === 'stages' ? words.lostStages(said) : words.lostCrop(said);
}

export function nameOfMoney(hundredths: number | undefined, money: Money): string {
  return hundredths === undefined ? supervisorWords.value.routes.money.notSet : money(hundredths);
}
