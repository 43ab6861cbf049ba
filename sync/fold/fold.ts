/**
 * Makes records from entries, the same on every device whatever their order, repetition or grouping. Go twin: fold.go;
 * both read fixtures/vectors/fold-*.json, and a seeded test compares them on random entries.
 */
import type { Record, Stamped } from '../../schema/types';
import { foldFact } from './fact.ts';
import { facts, registers, traces } from './keys.ts';
import { foldPot } from './pot.ts';
import { foldRegister } from './register.ts';
import { foldStock } from './stock.ts';
import { foldWalk } from './walk.ts';

export { recordHash, textHash, totalHex } from './hash.ts';
export { keys } from './keys.ts';

/**
 * Merge order: by stamp, then device, incarnation and sequence. Pending entries, which only their own phone has, come
 * after all others, by incarnation and sequence.
 */
export function compare(a: Stamped, b: Stamped): number {
  const aPending = a.stamp.quality === 'pending';
  const bPending = b.stamp.quality === 'pending';
  if (aPending !== bPending) return aPending ? 1 : -1;
  const x = a.entry;
  const y = b.entry;
  return (
    (aPending ? 0 : a.stamp.at - b.stamp.at || byUnits(x.device, y.device)) ||
    x.inc - y.inc ||
    x.seq - y.seq ||
    byUnits(x.device, y.device) ||
    byUnits(x.id, y.id)
  );
}

function byUnits(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

/**
 * Makes the record of a key from the entries that name it. Their order does not matter, nor do entries given twice (of
 * the same id) or entries of other keys. Undefined: only voids of things not yet seen, or nothing at all.
 */
export function fold(recordKey: string, entries: readonly Stamped[]): Record | undefined {
  const colon = recordKey.indexOf(':');
  const prefix = recordKey.slice(0, colon);
  const id = recordKey.slice(colon + 1);
  if (colon < 0 || id === '') return undefined;
  const set = sorted(entries);
  switch (prefix) {
    case 'pot':
      return foldPot(recordKey, id, set);
    case 'walk':
      return foldWalk(recordKey, id, set);
    case 'stock':
      return foldStock(recordKey, id, set);
    case 'fact':
      return foldFact(recordKey, id, facts, set);
    case 'trace':
      return foldFact(recordKey, id, traces, set);
    default:
      return registers.has(prefix) ? foldRegister(recordKey, prefix, id, set) : undefined;
  }
}

/** Merge order, each id once; of an entry held both as pending and with a stamp, the one with the stamp. */
export function sorted(entries: readonly Stamped[]): readonly Stamped[] {
  if (entries.length < 2) return entries;
  const seen = new Set<string>();
  return entries.toSorted(compare).filter(({ entry }) => {
    const first = !seen.has(entry.id);
    seen.add(entry.id);
    return first;
  });
}
