/** Asks one row of a sheet for its cells, and says what has to be put right in them. */
import { checkField, limitOf } from '../../../../../schema/check';
import type { Kind } from '../../../../../schema/types';
import { amount, potsTyped, tagTyped, wordsTyped, type Answer } from '../../../forms/typed';
import { settings } from '../../../state';
import { number } from '../../../words/format';
import { workWords } from '../../../words/rooms';
import { supervisorWords } from '../../../words/supervisor';
import {
  dayIn,
  inUnit,
  isFormula,
  millimetres,
  weekIn,
  type Cells,
  type DayOrder,
  type LengthUnit,
  type Line,
} from './cells';
import type { Heading } from './headings';

export interface Units {
  /** Of beds, where the heading names none. */
  long: 'm' | 'ft';
  /** Of pots. */
  short: 'cm' | 'in';
}

/** The reader's own units. */
export function sheetUnits(): Units {
  return settings.value.units.length === 'in' ? { long: 'ft', short: 'in' } : { long: 'm', short: 'cm' };
}

/** Asks one row for its cells, and collects what is wrong with them. An answer that is no good is 0 or ''. */
export class Asked {
  readonly problems: string[] = [];
  readonly #line: Line;
  readonly #cells: Cells;
  readonly #units: Units;
  readonly #order: DayOrder;

  constructor(line: Line, cells: Cells, units: Units, order: DayOrder) {
    this.#line = line;
    this.#cells = cells;
    this.#units = units;
    this.#order = order;
    for (const heading of cells.given.keys()) {
      const text = line.cell(heading);
      if (isFormula(text)) this.problem(supervisorWords.value.sheet.problem.formula(headingName(heading), text));
    }
  }

  get row(): number {
    return this.#line.row;
  }

  is(heading: Heading): string {
    return this.#line.cell(heading);
  }

  problem(words: string): void {
    this.problems.push(words);
  }

  /** A problem of one cell. Of a formula that came in place of its result nothing more is said. */
  #fault(heading: Heading, words: string): void {
    if (!isFormula(this.is(heading))) this.problem(words);
  }

  words(heading: Heading, kind: Kind, field: string, must: boolean): string {
    return this.#good(heading, wordsTyped(this.is(heading), kind, field, headingName(heading), must)) ?? '';
  }

  tag(): string {
    return this.#good('lot', tagTyped(this.is('lot'), headingName('lot'))) ?? '';
  }

  count(heading: Heading, kind: Kind, field: string): number {
    return (
      this.#good(
        heading,
        amount(this.is(heading), { kind, field, name: headingName(heading), measure: 'count', must: true }),
      ) ?? 0
    );
  }

  pots(): number {
    return this.#good('pots', potsTyped(this.is('pots'), headingName('pots'))) ?? 0;
  }

  /** In hundredths; undefined where there is none. */
  money(heading: Heading, kind: Kind, field: string): number | undefined {
    const text = this.is(heading);
    if (text === '') return undefined;
    return this.#good(heading, amount(text, { kind, field, name: headingName(heading), measure: 'money' }));
  }

  length(heading: Heading, kind: Kind, field: string): number {
    const words = supervisorWords.value.sheet.problem;
    const unit = this.#unit(heading);
    const text = this.is(heading);
    if (text === '') return this.#bad(heading, workWords.value.work.typed.missing(headingName(heading)));
    const mm = millimetres(text, unit);
    if (mm === undefined) return this.#bad(heading, words.noLength(headingName(heading), text));
    const { min = 0, max = 0 } = limitOf(kind, field) ?? {};
    if (!checkField(kind, field, mm)) return mm;
    const said = (value: number) => `${number(value, Number.isInteger(value) ? 0 : 2)} ${unit}`;
    return this.#bad(
      heading,
      workWords.value.work.typed.range(
        headingName(heading),
        said(inUnit(min, unit)),
        said(inUnit(max, unit)),
        `${text} ${unit}`,
      ),
    );
  }

  day(heading: Heading): string {
    const text = this.is(heading);
    const day = dayIn(text, this.#order);
    if (text !== '' && day === undefined)
      this.#fault(heading, supervisorWords.value.sheet.problem.noDay(headingName(heading), text));
    return day ?? '';
  }

  week(heading: Heading): string {
    const text = this.is(heading);
    const week = weekIn(text);
    if (text !== '' && week === undefined)
      this.#fault(heading, supervisorWords.value.sheet.problem.noWeek(headingName(heading), text));
    return week ?? '';
  }

  #unit(heading: Heading): LengthUnit {
    return this.#cells.given.get(heading) ?? (heading === 'pot' ? this.#units.short : this.#units.long);
  }

  #good<T>(heading: Heading, answer: Answer<T>): T | undefined {
    if (answer.problem !== undefined) this.#fault(heading, answer.problem);
    return answer.value;
  }

  #bad(heading: Heading, words: string): number {
    this.#fault(heading, words);
    return 0;
  }
}

/** What a heading is called on the screen. */
export function headingName(heading: Heading): string {
  return supervisorWords.value.sheet.heading[heading];
}
