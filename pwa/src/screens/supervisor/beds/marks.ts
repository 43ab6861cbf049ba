import type { AttentionView } from '../../../../../schema/types';
import { groupOf, type FindingGroup } from './attentionWords';

/** How many the list shows before "all" is asked for. */
export const FIRST = 8;

/** Each bed's place in the list, the highest of its rows that are shown, and what the whole list has of it. */
export function marksOf(items: AttentionView['items'], showsAll: boolean) {
  const ranks = new Map<string, number>();
  const groups = new Map<string, Set<FindingGroup>>();
  for (const [index, { beds, code }] of items.entries()) {
    for (const { bed } of beds) {
      if (!ranks.has(bed) && (showsAll || index < FIRST)) ranks.set(bed, index + 1);
      groups.set(bed, new Set([...(groups.get(bed) ?? []), groupOf(code)]));
    }
  }
  return { ranks, groups };
}
