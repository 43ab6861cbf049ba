/**
 * The walks, of which a large nursery has tens of thousands: by id, by bed, and those that are not over. Each page of the journal changes
 * what it brings and no more.
 */
import type { WalkPart } from '../../../../schema/types';
import type { RecordRow } from '../store/shape';
import { Current } from './current';

export interface WalkRow extends WalkPart {
  id: string;
  bed: string;
  /** When it was opened, ms since 1970. */
  at: number;
}

/** Walks by id, without those struck out and those whose opening has not arrived. */
export const walks = new Current<WalkRow>();

/** Those of them that were not ended: few, while all walks are many. */
export const walksNotEnded = new Current<WalkRow>();

/** The ids of each bed's walks. */
const byBed = new Map<string, Set<string>>();

/** Keeps the walks of these rows as they are now. @param gone keys that have no record any more */
export function takeWalks(rows: readonly RecordRow[], gone: readonly string[]): void {
  const changed = new Map<string, WalkRow | undefined>(gone.map((key) => [idOf(key), undefined]));
  for (const row of rows) changed.set(idOf(row.key), walkOf(row));
  for (const [id, walk] of changed) {
    const before = walks.peek(id);
    if (before && before.bed !== walk?.bed) byBed.get(before.bed)?.delete(id);
    if (!walk) continue;
    const ids = byBed.get(walk.bed) ?? new Set();
    byBed.set(walk.bed, ids.add(id));
  }
  walksNotEnded.change([...changed].map(([id, walk]) => [id, walk?.end ? undefined : walk] as const));
  walks.change(changed);
}

function idOf(key: string): string {
  return key.slice('walk:'.length);
}

function walkOf({ key, record }: RecordRow): WalkRow | undefined {
  const part = record.walk;
  if (!part?.open || part.voided) return undefined;
  return { ...part, id: idOf(key), bed: part.open.bed, at: part.by?.stamp.at ?? 0 };
}

/** Every bed that was ever walked. */
export function walkedBeds(): Iterable<string> {
  return byBed.keys();
}

/** A bed's walks in no order. Who shows them is called again when walks change. */
export function walksOf(bed: string): WalkRow[] {
  const all = walks.value;
  return [...(byBed.get(bed) ?? [])].flatMap((id) => all.get(id) ?? []);
}
