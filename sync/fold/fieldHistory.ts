/** What was written of a register's fields, beside what is in force: for the pages that show it. No Go twin, since the server shows none of it. */
import { canonical } from '../journal/canonical.ts';
import type { Authorship, Stamped, Voided } from '../../schema/types';
import { sorted } from './fold.ts';
import { liveOf, writesIn, type Write } from './register.ts';
import { author } from './void.ts';

/** What became of one write of a field. */
export interface PastWrite {
  value: unknown;
  by: Authorship;
  /** In force, one of several in force that is not shown, replaced by a later write, or struck out. */
  state: 'shown' | 'other' | 'replaced' | 'struck';
  voided?: Voided;
  /** True where it chose among different values that stood beside each other. */
  settles: boolean;
  /** True where its entry wrote this field alone: striking it out takes back nothing else. */
  alone: boolean;
}

/** All that was ever written of each field of a register, newest first. @param recordKey as for `fold` */
export function fieldHistory(recordKey: string, entries: readonly Stamped[]): ReadonlyMap<string, PastWrite[]> {
  const [kind = '', id = ''] = recordKey.split(':');
  const written = writesIn(kind, id, sorted(entries)) ?? new Map<string, Write[]>();
  return new Map([...written].map(([name, writes]) => [name, pastOf(writes)]));
}

function pastOf(writes: readonly Write[]): PastWrite[] {
  const standing = writes.filter(({ voided }) => !voided);
  const live = standing.length > 0 ? liveOf(standing) : [];
  const shown = live.at(-1);
  const past = writes.map((write): PastWrite => {
    const { by, value, voided, alone } = write;
    const seen = writes.filter(({ by: { entry } }) => entry.id !== by.entry.id && write.saw.includes(entry.id));
    const settles = new Set(seen.map((one) => canonical(one.value))).size > 1;
    const state = voided ? 'struck' : write === shown ? 'shown' : live.includes(write) ? 'other' : 'replaced';
    return { value, by: author(by), state, ...(voided ? { voided } : {}), settles, alone };
  });
  return past.toReversed();
}
