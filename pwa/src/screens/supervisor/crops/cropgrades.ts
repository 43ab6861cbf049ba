/** Grades while they are being changed: as texts, in the person's units, with what was there before. */
import { limitOf } from '../../../../../schema/check';
import type { Grade } from '../../../../../schema/types';
import { read, show } from '../../../../../sync/unit/unit';
import type { Units } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { potSize } from '../../../words/entry';
import { length, percent } from '../../../words/format';
import { amount, wayOf, wordsTyped, type Answer, type Measure } from '../../../forms/typed';

/** The lines of a grade, in the order in which they are asked; which of them are typed, and how. */
export const typedLines = {
  head_min_mm: 'length',
  head_max_mm: 'length',
  round_min_bp: 'percent',
  buds_min: 'count',
  budded_min_bp: 'percent',
  price_c: 'money',
} as const satisfies { [line in keyof Grade]?: Measure };
export const chosenLines = ['root_cover_min', 'root_life_min', 'chlorosis_max'] as const;

export type TypedLine = keyof typeof typedLines;
export type ChosenLine = (typeof chosenLines)[number];
export type LineName = TypedLine | ChosenLine;
const lineNames = [...(Object.keys(typedLines) as TypedLine[]), ...chosenLines];

export interface Draft {
  /** Tells drafts apart on the screen; it is never written down. */
  key: string;
  pot_mm: number;
  name: string;
  texts: { [line in LineName]?: string };
  /** The grade as it was before: a size shown in inches must not come back rounded where nobody touched it. */
  was?: Grade;
}

export function draftsOf(grades: readonly Grade[]): Draft[] {
  return grades.map((grade, i) => ({
    key: `${i} ${grade.pot_mm} ${grade.name}`,
    pot_mm: grade.pot_mm,
    name: grade.name,
    texts: textsOf(grade),
    was: grade,
  }));
}

function textsOf(grade: Grade): Draft['texts'] {
  const texts: Draft['texts'] = {};
  for (const line of lineNames) {
    const value = grade[line];
    if (value !== undefined) texts[line] = shown(line, value);
  }
  return texts;
}

function shown(line: LineName, value: number): string {
  return wayOf(measureOf(line)).show(value);
}

export function measureOf(line: LineName): Measure {
  return line in typedLines ? typedLines[line as TypedLine] : 'count';
}

export interface ReadGrade {
  name: Answer<string>;
  lines: Record<LineName, Answer<number>>;
  /** The grade to write down, once nothing is wrong with it. */
  grade?: Grade;
}

/** Reads one draft among all drafts of its crop. */
export function readGrade(draft: Draft, all: readonly Draft[]): ReadGrade {
  const words = supervisorWords.value.crops;
  let name = wordsTyped(draft.name, 'profile', 'grades[].name', words.line.name, true);
  const same = all.find((each) => each.pot_mm === draft.pot_mm && each.name.trim() === name.value);
  if (name.value !== undefined && same && same.key !== draft.key) name = { problem: words.nameTwice(name.value) };
  const lines = Object.fromEntries(lineNames.map((line) => [line, readLine(draft, line)])) as ReadGrade['lines'];
  const { head_min_mm: from, head_max_mm: to } = lines;
  if (from.value !== undefined && to.value !== undefined && to.value < from.value) {
    lines.head_max_mm = { problem: words.headOver(length(from.value)) };
  }
  if ([name, ...Object.values(lines)].some((answer) => answer.problem !== undefined)) return { name, lines };
  const asked = lineNames.flatMap((line) => (lines[line].value === undefined ? [] : [[line, lines[line].value]]));
  return { name, lines, grade: { name: name.value ?? '', pot_mm: draft.pot_mm, ...Object.fromEntries(asked) } };
}

function readLine(draft: Draft, line: LineName): Answer<number> {
  const text = draft.texts[line] ?? '';
  const was = draft.was?.[line];
  if (was !== undefined && text === shown(line, was)) return { value: was };
  const name = supervisorWords.value.crops.line[line];
  return amount(text, { kind: 'profile', field: `grades[].${line}`, name, measure: measureOf(line) });
}

/** The sizes in the other unit, when the person has changed theirs while something stood typed. */
export function inUnit(drafts: readonly Draft[], from: Units['length'], to: Units['length']): Draft[] {
  if (from === to) return [...drafts];
  return drafts.map((draft) => {
    const texts = { ...draft.texts };
    for (const line of ['head_min_mm', 'head_max_mm'] as const) {
      const text = texts[line];
      if (text !== undefined) texts[line] = lengthInUnit(text, draft.was?.[line], from);
    }
    return { ...draft, texts };
  });
}

/** A size typed in another unit, in the person's own; one that nobody touched as it was, and what cannot be read as it stands. */
export function lengthInUnit(text: string, was: number | undefined, from: Units['length']): string {
  const plain = (mm: number) => show(mm, from, '.').replace(/\.0$/, '');
  if (was !== undefined && plain(was) === text.replace(',', '.')) return wayOf('length').show(was);
  const typed = read(text, from);
  return typed.ok ? wayOf('length').show(typed.value) : text;
}

/** The list with one grade a place up (-1) or down (1) among those of its pot size; the same list at an end. */
export function moved(drafts: readonly Draft[], key: string, by: -1 | 1): Draft[] {
  const at = drafts.findIndex((draft) => draft.key === key);
  const size = drafts[at]?.pot_mm;
  let to = at + by;
  while (drafts[to] && drafts[to]?.pot_mm !== size) to += by;
  const [one, other] = [drafts[at], drafts[to]];
  if (!one || !other) return [...drafts];
  return drafts.map((draft, i) => (i === at ? other : i === to ? one : draft));
}

/** The list with a grade put last among those of its pot size. */
export function added(drafts: readonly Draft[], draft: Draft): Draft[] {
  const last = drafts.findLastIndex((each) => each.pot_mm === draft.pot_mm);
  return last < 0 ? [...drafts, draft] : drafts.toSpliced(last + 1, 0, draft);
}

export function mostGrades(): number {
  return limitOf('profile', 'grades')?.maxLength ?? 0;
}

/** What may be chosen for a line that is not typed: its numbers, each in words. */
export function choicesOf(line: ChosenLine): { value: number; label: string }[] {
  const { min = 0, max = 0 } = limitOf('profile', `grades[].${line}`) ?? {};
  return Array.from({ length: max - min + 1 }, (_, i) => ({ value: min + i, label: chosen(line, min + i) }));
}

function chosen(line: ChosenLine, value: number): string {
  if (line === 'root_cover_min') return supervisorWords.value.bed.coverClass[value] ?? String(value);
  if (line === 'root_life_min') return supervisorWords.value.bed.lifeClass[value - 1] ?? String(value);
  return supervisorWords.value.crops.chlorosisClass[value] ?? String(value);
}

/** What a grade asks, in short: "head from 25.0 cm, buds 40, root cover 3 fifths". */
export function describeGrade(grade: Grade): string {
  const says = supervisorWords.value.crops.says;
  const { head_min_mm: from, head_max_mm: to } = grade;
  const all: [number | undefined, (value: number) => string][] = [
    [from ?? to, () => headSaid(from, to)],
    [grade.round_min_bp, (bp) => says.round(percent(bp / 10_000))],
    [grade.buds_min, (count) => says.buds(String(count))],
    [grade.budded_min_bp, (bp) => says.budded(percent(bp / 10_000))],
    [grade.root_cover_min, (value) => says.cover(chosen('root_cover_min', value))],
    [grade.root_life_min, (value) => says.life(chosen('root_life_min', value))],
    [grade.chlorosis_max, (value) => says.chlorosis(chosen('chlorosis_max', value))],
  ];
  const asked = all.flatMap(([value, say]) => (value === undefined ? [] : [say(value)]));
  return asked.length === 0 ? supervisorWords.value.crops.asksNothing : asked.join(', ');
}

function headSaid(from: number | undefined, to: number | undefined): string {
  const says = supervisorWords.value.crops.says;
  if (from === undefined) return says.headTo(length(to ?? 0));
  return to === undefined ? says.headFrom(length(from)) : says.head(length(from), length(to));
}

/** A whole list of grades in one line, as people would tell two of them apart. */
export function saidGrades(grades: readonly Grade[]): string {
  if (grades.length === 0) return supervisorWords.value.crops.noGrades;
  return grades.map((g) => `${potSize(g.pot_mm)} ${g.name}: ${describeGrade(g)}`).join('; ');
}
