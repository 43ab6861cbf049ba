import type { Due, PastWalk, Stop, Unfinished, WalkPart } from '../../schema/types.ts';

/** Below this number of pots a bed's numbers are not shown; common practice, no source. */
export const FEWEST = 5;

/** Days after which a bed with trouble is walked again. Common practice, no source. */
const LOOK_AGAIN_AFTER = 2;

/** Whether a bed is due for a walk: the twin of Due on the Go side, which says what counts. Walks are newest first. */
export function dueOf(walks: readonly PastWalk[], every: readonly number[]): Due {
  if (every.length === 0) return { why: '', days: 0 };
  const last = walks.find((walk) => walk.whole);
  if (last) return { why: whyOf(last, Math.min(...every)), days: last.days_ago };
  const days = walks[0]?.days_ago ?? 0;
  return days > 0 ? { why: 'days', days } : { why: 'never', days: 0 };
}

function whyOf({ days_ago, roots, chlorosis }: PastWalk, interval: number): string {
  if (days_ago >= interval) return 'days';
  if (days_ago < LOOK_AGAIN_AFTER) return '';
  if (roots === 'trouble') return 'roots';
  return chlorosis === 'trouble' ? 'chlorosis' : '';
}

/** True for a walk that shows enough of its bed: the twin of Whole on the Go side, which says what counts. */
export function isWhole(walk: Pick<WalkPart, 'end' | 'open'>, potsSeen: number): boolean {
  return walk.open === undefined || potsSeen >= walk.open.planned || (walk.end !== undefined && potsSeen >= FEWEST);
}

/** How far a walk came that was left before it had seen what it asked for: the twin of Unfinished on the Go side, which says what counts. */
export function unfinishedOf(
  walk: Pick<WalkPart, 'end' | 'open'>,
  potsSeen: number,
  stop: Pick<Stop, 'verdict' | 'more'>,
): Unfinished | null {
  const asksForMore = stop.verdict === 'more';
  if (isWhole(walk, potsSeen) && (walk.end ? walk.end.why !== 'stopped' : !asksForMore)) return null;
  const asked = potsSeen + stop.more;
  if (asksForMore) return { seen: potsSeen, about: asked };
  return { seen: potsSeen, about: stop.verdict === 'minimum' ? Math.max(walk.open?.planned ?? 0, asked) : 0 };
}
