import type { BedInput, Unwalked } from '../../schema/types.ts';
import { FEWEST } from './due.ts';

const SHARE = 0.25;
const P = 0.01;

/** The longest stretch of rows with pots that nobody checked, when it is too long for chance: the twin of unwalkedOf in Go. */
export function unwalkedOf(input: BedInput): Unwalked | null {
  const seen = new Set<number>();
  let n = 0;
  for (const { now } of input.pots) {
    if (!now.place || now.place.row < 1 || now.place.row > input.rows) continue;
    seen.add(now.place.row);
    n++;
  }
  if (n < FEWEST) return null;
  const rows = rowsWithPots(input);
  let most = 0;
  let run = 0;
  let end = -1;
  rows.forEach((row, i) => {
    run = seen.has(row) ? 0 : run + 1;
    if (run > most) [most, end] = [run, i];
  });
  const [from, to] = [rows[end - most + 1], rows[end]];
  if (from === undefined || to === undefined) return null;
  const share = most / rows.length;
  let p = n + 1;
  for (let i = 0; i < n; i++) p *= 1 - share;
  return share < SHARE || p > P ? null : { from_row: from, to_row: to, share, p };
}

function rowsWithPots(input: BedInput): number[] {
  const stands = new Set<number>();
  for (const lot of input.lots) {
    for (let row = Math.max(1, lot.from_row); row <= Math.min(input.rows, lot.to_row); row++) stands.add(row);
  }
  const all = Array.from({ length: Math.max(0, input.rows) }, (_, i) => i + 1);
  return input.lots.length === 0 ? all : all.filter((row) => stands.has(row));
}
