import { canonical } from '../journal/canonical.ts';
import type { Field, Record, Stamped, Voided } from '../../schema/types';
import { readWriting } from './read.ts';
import { author, Voids } from './void.ts';

/** What one entry says about one field. */
export interface Write {
  by: Stamped;
  saw: string[];
  value: unknown;
  voided: Voided | undefined;
  /** True where its entry writes no other field. */
  alone: boolean;
}

/**
 * Keeps, for each field, every write that no other write of the field has seen. A write that is struck out counts as
 * never written: what it had replaced comes back.
 */
export function foldRegister(key: string, kind: string, id: string, set: readonly Stamped[]): Record | undefined {
  const written = writesIn(kind, id, set);
  if (!written) return undefined;
  const standing = [...written].flatMap(([name, all]) => {
    const writes = all.filter(({ voided }) => !voided);
    return writes.length > 0 ? [[name, field(writes)] as const] : [];
  });
  const fields = Object.fromEntries(standing);
  return { key, ...place(kind, id, fields), register: { of: id, fields } };
}

/** The writes of each field in merge order, struck-out ones too; undefined where no entry is about the register. */
export function writesIn(kind: string, id: string, set: readonly Stamped[]): Map<string, Write[]> | undefined {
  const voids = new Voids(set);
  const written = new Map<string, Write[]>();
  let found = false;
  for (const by of set) {
    const writing = by.entry.kind === kind ? readWriting(by.entry.body) : undefined;
    if (writing?.of !== id) continue;
    found = true;
    const voided = voids.of([by]);
    for (const [name, value] of writing.values) {
      const write = { by, saw: writing.saw, value, voided, alone: writing.values.length === 1 };
      const writes = written.get(name);
      if (writes) writes.push(write);
      else written.set(name, [write]);
    }
  }
  return found ? written : undefined;
}

/** Settles writes, which stand in merge order. */
function field(writes: Write[]): Field {
  const live = liveOf(writes);
  const shown = live.at(-1) as Write;
  const settled: Field = { value: shown.value, by: author(shown.by), live: live.map((w) => w.by.entry.id).sort() };
  if (live.length === 1) return settled;
  const values = new Set([canonical(shown.value)]);
  const others = live.toReversed().filter(({ value }) => {
    const text = canonical(value);
    // Two people who wrote the same value separately do not disagree.
    const differs = !values.has(text);
    values.add(text);
    return differs;
  });
  if (others.length > 0) settled.others = others.map(({ value, by }) => ({ value, by: author(by) }));
  return settled;
}

/** The writes that no other has seen, of those that are not struck out. */
export function liveOf(writes: Write[]): Write[] {
  if (writes.length === 1) return writes;
  const seen = new Set<string>();
  for (const { by, saw } of writes) {
    for (const id of saw) if (id !== by.entry.id) seen.add(id);
  }
  const live = writes.filter(({ by }) => !seen.has(by.entry.id));
  // Only a faulty phone could make writes that all saw each other; the highest is as good as any.
  return live.length > 0 ? live : writes.slice(-1);
}

/** Returns the lot and bed that a register's record belongs to. */
function place(kind: string, id: string, fields: { [name: string]: Field }): { lot?: string; bed?: string } {
  const shown = (name: string) => {
    const value = Object.hasOwn(fields, name) ? fields[name]?.value : undefined;
    return typeof value === 'string' && value !== '' ? { [name]: value } : {};
  };
  switch (kind) {
    case 'lot':
      return { lot: id };
    case 'bed':
      return { bed: id };
    case 'span':
    case 'matter':
      return { ...shown('lot'), ...shown('bed') };
    case 'booking':
    case 'task':
      return shown('lot');
    case 'round':
      return shown('bed');
    default:
      return {};
  }
}
