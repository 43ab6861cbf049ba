/** The band of head sizes by days since the last pinch, while its rows are being changed: as texts, in the person's units. */
import { limitOf } from '../../../../../schema/check';
import type { HeadTarget } from '../../../../../schema/types';
import type { Units } from '../../../words';
import { potSize } from '../../../words/entry';
import { length } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { amount, shownAmount, type Answer, type Measure } from '../../../forms/typed';
import { lengthInUnit } from './cropgrades';

export const targetParts = { day: 'count', low_mm: 'length', high_mm: 'length' } as const satisfies {
  [part in keyof HeadTarget]?: Measure;
};

export type TargetPart = keyof typeof targetParts;
const partNames = Object.keys(targetParts) as TargetPart[];

export interface TargetDraft {
  /** Tells rows apart on the screen; it is never written down. */
  key: string;
  texts: Record<TargetPart, string>;
  /** The pot size that the row is for, mm; undefined for all. */
  pot?: number | undefined;
  /** The row as it was before: a size shown in inches must not come back rounded where nobody touched it. */
  was?: HeadTarget;
}

export function targetDrafts(rows: readonly HeadTarget[]): TargetDraft[] {
  return rows.toSorted(inOrder).map((row, i) => ({
    key: `${i} ${row.pot_mm ?? 0} ${row.day}`,
    texts: {
      day: shownAmount(row.day, targetParts.day),
      low_mm: shownAmount(row.low_mm, targetParts.low_mm),
      high_mm: shownAmount(row.high_mm, targetParts.high_mm),
    },
    ...(row.pot_mm === undefined ? {} : { pot: row.pot_mm }),
    was: row,
  }));
}

/** Rows of one pot size together, the smallest first and those for all before them, and their days rising. */
function inOrder(a: HeadTarget, b: HeadTarget): number {
  return (a.pot_mm ?? 0) - (b.pot_mm ?? 0) || a.day - b.day;
}

export interface ReadTargets {
  /** By `targetKey`. */
  answers: ReadonlyMap<string, Answer<number>>;
  /** What is to be written, in the order in which it is kept; of use only while no answer has a problem. */
  rows: HeadTarget[];
}

export function targetKey(draft: TargetDraft, part: TargetPart): string {
  return `${draft.key} ${part}`;
}

/** Reads all rows; one in which nothing stands is not there. */
export function readTargets(drafts: readonly TargetDraft[]): ReadTargets {
  const words = supervisorWords.value.crops.targets;
  const answers = new Map<string, Answer<number>>();
  const rows: HeadTarget[] = [];
  drafts.forEach((draft, i) => {
    if (partNames.every((part) => draft.texts[part].trim() === '')) return;
    const name = (part: TargetPart) => words.spoken(i + 1, words.field[part]);
    const read = (part: TargetPart) => readPart(draft, part, name(part));
    let [day, to] = [read('day'), read('high_mm')];
    const from = read('low_mm');
    if (from.value !== undefined && to.value !== undefined && to.value < from.value) {
      to = { problem: words.below(name('high_mm'), length(from.value)) };
    }
    if (rows.some((row) => row.day === day.value && row.pot_mm === draft.pot)) {
      day = { problem: words.twice(name('day'), day.value ?? 0) };
    }
    answers.set(targetKey(draft, 'day'), day);
    answers.set(targetKey(draft, 'low_mm'), from);
    answers.set(targetKey(draft, 'high_mm'), to);
    if (day.value === undefined || from.value === undefined || to.value === undefined) return;
    const pot = draft.pot === undefined ? {} : { pot_mm: draft.pot };
    rows.push({ day: day.value, low_mm: from.value, high_mm: to.value, ...pot });
  });
  return { answers, rows: rows.sort(inOrder) };
}

function readPart(draft: TargetDraft, part: TargetPart, name: string): Answer<number> {
  const [text, was, measure] = [draft.texts[part], draft.was?.[part], targetParts[part]];
  if (was !== undefined && text === shownAmount(was, measure)) return { value: was };
  return amount(text, { kind: 'profile', field: `targets[].${part}`, name, measure, must: true });
}

export function targetsChanged({ answers, rows }: ReadTargets, own: readonly HeadTarget[]): boolean {
  const plain = (list: readonly HeadTarget[]) =>
    JSON.stringify(list.map((row) => [row.day, row.low_mm, row.high_mm, row.pot_mm ?? 0]));
  return (
    [...answers.values()].some(({ problem }) => problem !== undefined) || plain(rows) !== plain(own.toSorted(inOrder))
  );
}

/** The rows in the person's unit, when it was changed while something stood typed in another. */
export function targetsInUnit(drafts: readonly TargetDraft[], from: Units['length']): TargetDraft[] {
  const inUnit = (draft: TargetDraft, part: 'low_mm' | 'high_mm') =>
    lengthInUnit(draft.texts[part], draft.was?.[part], from);
  return drafts.map((draft) => ({
    ...draft,
    texts: { day: draft.texts.day, low_mm: inUnit(draft, 'low_mm'), high_mm: inUnit(draft, 'high_mm') },
  }));
}

export function mostTargets(): number {
  return limitOf('profile', 'targets')?.maxLength ?? 0;
}

/** A whole band in one line, as people would tell two of them apart. */
export function saidTargets(rows: readonly HeadTarget[]): string {
  const words = supervisorWords.value.crops.targets;
  if (rows.length === 0) return words.empty;
  return rows
    .map(({ pot_mm: pot, day, low_mm: low, high_mm: high }) =>
      words.said(pot === undefined ? undefined : potSize(pot), day, length(low), length(high)),
    )
    .join('; ');
}
