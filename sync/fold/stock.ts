import type { Entry, Record, Stamped, StockLine } from '../../schema/types';
import { readCount, readMove, readRecount } from './read.ts';
import { author, Voids } from './void.ts';

/** One line of the ledger with what it needs to be summed. */
interface Entered {
  by: Stamped;
  span: string;
  change: number;
  line: StockLine;
  basis?: { [device: string]: number };
}

/**
 * Sums a lot's ledger by span. After a recount the counted number holds, and each change that the counter did not know of
 * (that is not in the basis) is added, however late it arrives.
 */
export function foldStock(key: string, lot: string, set: readonly Stamped[]): Record | undefined {
  const lines = linesOf(lot, set);
  if (lines.length === 0) return undefined;
  const voids = new Voids(set);
  const recounts = new Map<string, Entered>();
  for (const entered of lines) {
    const voided = voids.of([entered.by]);
    if (voided) entered.line.voided = voided;
    if (entered.line.counted === undefined || voided) continue;
    const earlier = recounts.get(entered.span);
    if (earlier) earlier.line.settled = true;
    recounts.set(entered.span, entered);
  }
  const bySpan = new Map<string, number>();
  let pots = 0;
  for (const entered of lines) {
    if (entered.line.voided) continue;
    const part = potsOf(entered, recounts.get(entered.span));
    bySpan.set(entered.span, (bySpan.get(entered.span) ?? 0) + part);
    pots += part;
  }
  const stock = { pots, by_span: Object.fromEntries(bySpan), lines: lines.map(({ line }) => line) };
  return { key, lot, stock };
}

/** What a line adds, given the valid recount of its span, if there is one. */
function potsOf(entered: Entered, recount: Entered | undefined): number {
  if (entered === recount) return entered.line.counted ?? 0;
  if (entered.line.counted !== undefined) return 0;
  return recount && knew(recount, entered.by.entry) ? 0 : entered.change;
}

function knew(recount: Entered, change: Entry): boolean {
  const name = `${change.device}.${change.inc}`;
  const basis = recount.basis ?? {};
  return Object.hasOwn(basis, name) && (basis[name] as number) >= change.seq;
}

function linesOf(lot: string, set: readonly Stamped[]): Entered[] {
  const lines: Entered[] = [];
  for (const by of set) {
    const { kind, body } = by.entry;
    if (kind === 'count') {
      const count = readCount(body);
      if (count?.lot === lot) lines.push(changed(by, count, count.reason, count.words));
    } else if (kind === 'move') {
      const move = readMove(body);
      for (const leg of move?.legs ?? []) {
        if (move && leg.lot === lot) lines.push(changed(by, leg, move.why, move.words));
      }
    } else if (kind === 'recount') {
      const recount = readRecount(body);
      if (recount?.lot !== lot) continue;
      const line: StockLine = { counted: recount.counted, reason: 'recount', by: author(by) };
      if (recount.span !== undefined) line.span = recount.span;
      lines.push({ by, span: recount.span ?? '', change: 0, line, basis: recount.basis });
    }
  }
  return lines;
}

function changed(
  by: Stamped,
  { span, change }: { span?: string; change: number },
  reason: string,
  words: string | undefined,
): Entered {
  const line: StockLine = { reason, by: author(by) };
  if (span !== undefined) line.span = span;
  if (change !== 0) line.change = change;
  if (words !== undefined) line.words = words;
  return { by, span: span ?? '', change, line };
}
