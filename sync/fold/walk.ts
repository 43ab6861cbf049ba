import type { Record, Stamped, WalkPart } from '../../schema/types';
import { readWalk, readWalkEnd } from './read.ts';
import { author, Voids } from './void.ts';

/**
 * Keeps a walk's first opening and its last end that is not voided. A void of an opening voids the walk; a void of
 * an end voids that end alone.
 */
export function foldWalk(key: string, id: string, set: readonly Stamped[]): Record | undefined {
  const voids = new Voids(set);
  const walk: WalkPart = {};
  const openings: Stamped[] = [];
  let ended = false;
  let bed = '';
  for (const by of set) {
    if (by.entry.kind === 'walk') {
      const open = readWalk(by.entry.body);
      if (open?.walk !== id) continue;
      openings.push(by);
      if (walk.open) continue;
      walk.open = open;
      walk.by = author(by);
      bed = open.bed;
    } else if (by.entry.kind === 'walk_end') {
      const end = readWalkEnd(by.entry.body);
      if (end?.walk !== id) continue;
      ended = true;
      if (!walk.open) bed = end.bed;
      if (voids.of([by])) continue;
      walk.end = end;
      walk.end_by = author(by);
    }
  }
  if (openings.length === 0 && !ended) return undefined;
  const voided = voids.of(openings);
  if (voided) walk.voided = voided;
  return bed === '' ? { key, walk } : { key, bed, walk };
}
