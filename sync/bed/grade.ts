import { mondayOf } from '../calendar/week.ts';
import type { Grade, GradeCost, GradeLack, Observation } from '../../schema/types.ts';
import { headMM } from './lots.ts';
import { severityClass } from './shares.ts';

const DAY = 86_400_000;

/** How pots that were seen fall into a grower's grades. What the pots still on the bed will make is computed at the server. */
export interface Graded {
  /** Pots on which every line of every grade was checked. */
  n: number;
  undecided: number;
  /** What would decide the undecided, the most pots first; "severity" is of pale leaves whose degree was not noted. */
  lacks: GradeLack[];
  /** Pots in each grade, in the grades' order, and last those that meet none. */
  seen: number[];
  /** Line by line of the first grade: on how many pots it was checked, and how many fail it. */
  costs: GradeCost[];
}

/** One line of a grade put to one pot: whether the pot meets it, and whether what it needs was checked. */
interface Line {
  name: string;
  looked: boolean;
  meets: boolean;
}

/**
 * Puts pots to the grades of one pot size, which are tried in order; a pot gets the first whose every line it meets. As
 * in grade.go beside it, a pot counts only when all that any of the grades needs was checked.
 */
export function gradePots(grades: readonly Grade[], pots: readonly Observation[]): Graded {
  const [first] = grades;
  const costs = first ? linesOf(first, {}).map(({ name }) => ({ line: name, fail: 0, n: 0 })) : [];
  const graded: Graded = { n: 0, undecided: 0, lacks: [], seen: [...grades, null].map(() => 0), costs };
  const lacks = new Map<string, number>();
  for (const pot of pots) {
    for (const [i, line] of (first ? linesOf(first, pot) : []).entries()) {
      const cost = costs[i];
      if (!cost || !line.looked) continue;
      cost.n++;
      if (!line.meets) cost.fail++;
    }
    const all = grades.map((grade) => linesOf(grade, pot));
    const missing = new Set(all.flat().flatMap((line) => (line.looked ? [] : [lackOf(line, pot)])));
    if (missing.size > 0) {
      graded.undecided++;
      for (const line of missing) lacks.set(line, (lacks.get(line) ?? 0) + 1);
      continue;
    }
    graded.n++;
    const met = all.findIndex((lines) => lines.every((line) => line.meets));
    const place = met < 0 ? grades.length : met;
    graded.seen[place] = (graded.seen[place] ?? 0) + 1;
  }
  graded.lacks = [...lacks]
    .map(([line, count]) => ({ line, pots: count }))
    .sort((a, b) => b.pots - a.pots || (a.line < b.line ? -1 : 1));
  return graded;
}

function lackOf(line: Line, pot: Partial<Observation>): string {
  return line.name === 'chlorosis_max' && pot.chlorosis !== undefined ? 'severity' : line.name;
}

/** The day from which a lot that ships in an ISO week can be graded: the Monday so many weeks before; '' without a week. */
export function gradedFrom(shipWeek: string | undefined, weeks: number): string {
  const monday = mondayOf(shipWeek ?? '');
  return monday === undefined ? '' : dayWritten(Date.parse(monday) - weeks * 7 * DAY);
}

/** True when pots seen then were seen too early to be graded. Without a ship week that is unknown, and it is false. */
export function isEarly(seenAt: number, shipWeek: string | undefined, weeks: number): boolean {
  return dayWritten(seenAt) < gradedFrom(shipWeek, weeks);
}

function dayWritten(ms: number): string {
  return new Date(ms).toISOString().slice(0, 10);
}

/** Roundness is the smaller diameter over the larger; a pot without any tip meets no budded share. */
function linesOf(grade: Grade, pot: Partial<Observation>): Line[] {
  const lines: Line[] = [];
  const ask = (limit: number | undefined, name: keyof Grade, looked: boolean, meets: (limit: number) => boolean) => {
    if (limit !== undefined) lines.push({ name, looked, meets: looked && meets(limit) });
  };
  const { head_a_mm: a, head_b_mm: b, buds, tips_bare: bare, root_cover: cover, root_life: life } = pot;
  const head = headMM(pot);
  ask(grade.head_min_mm, 'head_min_mm', head !== null, (least) => (head ?? 0) >= least);
  ask(grade.head_max_mm, 'head_max_mm', head !== null, (most) => (head ?? 0) <= most);
  ask(grade.round_min_bp, 'round_min_bp', a !== undefined && b !== undefined, (least) => {
    const [one, other] = [a ?? 0, b ?? 0];
    return 10_000 * Math.min(one, other) >= least * Math.max(one, other);
  });
  ask(grade.buds_min, 'buds_min', buds !== undefined, (least) => (buds ?? 0) >= least);
  ask(grade.budded_min_bp, 'budded_min_bp', buds !== undefined && bare !== undefined, (least) => {
    const tips = (buds ?? 0) + (bare ?? 0);
    return tips > 0 && 10_000 * (buds ?? 0) >= least * tips;
  });
  ask(grade.root_cover_min, 'root_cover_min', cover !== undefined, (least) => (cover ?? 0) >= least);
  ask(grade.root_life_min, 'root_life_min', life !== undefined, (least) => (life ?? 0) >= least);
  const severity = severityClass(pot);
  ask(grade.chlorosis_max, 'chlorosis_max', severity !== null, (most) => (severity ?? 0) <= most);
  return lines;
}
