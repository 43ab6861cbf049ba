/**
 * Each bed in short, from its last whole walk; while none was whole, from the last with pots. Kept in the database and computed again, one bed at a time between
 * two frames, only for beds whose walks or pots have changed.
 */
import { signal } from '@preact/signals-core';
import type { BedScore } from '../../../../schema/types';
import { isWhole, unfinishedOf } from '../../../../sync/bed/due';
import { base } from '../store/base';
import { subscribe } from '../store/changes';
import { allBetween } from '../store/pages';
import { whenIdle } from '../store/pause';
import { aboutOf } from './about';
import { potsOfWalk } from './read';
import type { Brief } from '../store/shape';
import { walkedBeds, walksOf, type WalkRow } from './walks';

export const briefs = signal<ReadonlyMap<string, Brief>>(new Map());

const stale = new Set<string>();
/** Computed and not shown yet. */
const atWork = new Set<string>();
let working = false;
let held = 0;

/** True while a walk of this bed is here of which nothing has been computed yet: then it is not known when it was walked. */
export function isPending(bed: string): boolean {
  const brief = briefs.value.get(bed);
  return brief ? !isKnown(brief) : stale.has(bed) || atWork.has(bed);
}

/** Computes nothing until the returned function is called: no score of a bed in short may come between two taps. */
export function holdBriefs(): () => void {
  held++;
  return () => {
    held--;
    void work();
  };
}

export async function loadBriefs(): Promise<void> {
  const { store } = (await base()).transaction('briefs');
  const kept = await allBetween(store, '', '\uffff', (brief) => brief.bed);
  briefs.value = new Map(kept.map((brief) => [brief.bed, brief]));
}

/** Begins to keep the briefs true; walks and briefs must have been loaded. */
export function startBriefs(): void {
  for (const bed of walkedBeds()) {
    const [last] = lastWalks(bed);
    if (!last) continue;
    const brief = briefs.value.get(bed);
    // Of a walk that went on there may be pots that the app was ended before it computed them.
    if (brief?.newestAt !== last.at || !brief?.ended || !isKnown(brief)) stale.add(bed);
  }
  subscribe(({ rows }) => {
    for (const row of rows) {
      if (row.bed !== undefined && (row.kind === 'pot' || row.kind === 'walk')) stale.add(row.bed);
    }
    void work();
  });
  void work();
}

/** False for what an earlier build kept: it does not say which walk was whole, what the tests made of it, or whether it was finished. */
function isKnown({ whole, unfinished }: Brief): boolean {
  return unfinished !== undefined && (whole === null || whole?.roots !== undefined);
}

/** A bed's walks, newest first. A second look is for comparing scouts and says nothing new about the bed. */
function lastWalks(bed: string): WalkRow[] {
  return walksOf(bed)
    .filter((walk) => walk.open?.round === undefined)
    .sort((a, b) => b.at - a.at);
}

async function work(): Promise<void> {
  if (working || held > 0) return;
  working = true;
  // Shown all at once: a list that sorts itself again bed by bed would move a row from under the thumb.
  const made = new Map<string, Brief>();
  const asked = stale.size;
  // Until their walks are whole what was said before holds.
  const inPart: string[] = [];
  try {
    while (stale.size > 0) {
      await whenIdle();
      if (held > 0) break;
      const [bed] = stale;
      if (bed === undefined) break;
      stale.delete(bed);
      atWork.add(bed);
      const brief = await computeBrief(bed);
      if (brief === null) inPart.push(bed);
      else if (brief) made.set(bed, brief);
    }
  } finally {
    working = false;
    atWork.clear();
    for (const bed of inPart) stale.add(bed);
    // Also where nothing came of it: then the bed is known not to have been walked.
    if (asked > 0) briefs.value = new Map([...briefs.value, ...made]);
  }
}

/** Computes one bed's brief and keeps it; undefined when nobody has noted a pot there, null while a walk that counts is here in part. */
async function computeBrief(bed: string): Promise<Brief | undefined | null> {
  const newest = lastWalks(bed);
  let brief: Brief | undefined;
  let inProgress: Brief['inProgress'];
  for (const walk of newest) {
    const pots = (await potsOfWalk(walk.id))?.filter((pot) => !pot.voided);
    if (!pots) return null;
    if (pots.length === 0) continue;
    const [{ inputOf }, { scoreBed }] = await Promise.all([import('./bedInput'), import('../../../../sync/bed/bed')]);
    const input = inputOf(bed, pots);
    if (!input) return undefined;
    const score = scoreBed(input);
    const planned = walk.open?.planned ?? 0;
    const whole = isWhole(walk, pots.length);
    if (!whole && !walk.end && !inProgress) inProgress = { walk: walk.id, at: walk.at, seen: pots.length, planned };
    // Of a walk under way there is no number yet: it saw one end of the bed, and clears nothing that was found.
    if (brief && !whole) continue;
    brief = {
      bed,
      walk: walk.id,
      lastWalkAt: walk.at,
      newestAt: newest[0]?.at ?? walk.at,
      uniformity: score.uniformity.value,
      low: score.uniformity.interval.low,
      high: score.uniformity.interval.high,
      known: score.uniformity.known,
      few: score.too_few_pots || !whole,
      seen: score.seen,
      limitingTrait: score.limiting_trait ?? '',
      unfinished: leftOf(walk, pots.length, score),
      ...(newest[0]?.end ? { ended: true } : {}),
      whole: null,
    };
    if (whole) {
      brief.whole = { at: walk.at, chlorosis: score.stop.chlorosis, roots: score.stop.roots };
      break;
    }
  }
  if (brief && inProgress) brief.inProgress = inProgress;
  if (brief) await (await base()).put('briefs', brief);
  return brief;
}

/** About how many pots a walk asks for in all that was left before it had seen them, as it said itself; null for one that was finished. */
function leftOf(walk: WalkRow, potsSeen: number, { seen, stop }: BedScore): { about: number } | null {
  const left = unfinishedOf(walk, potsSeen, stop);
  return left && { about: stop.verdict === 'more' ? aboutOf(walk.id, seen, stop.more) : left.about };
}
