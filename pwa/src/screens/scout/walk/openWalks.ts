import { firstReading, isOwnNew } from '../../../journal/inbox/arriving';
import { walksNotEnded, type WalkRow } from '../../../journal/records/walks';
import { serverNow } from '../../../state';

/** A walk of this bed that this person opened and did not end; it can be gone on with for days. Second looks stand apart. */
export function openWalk(bed: string, person: string | undefined): WalkRow | undefined {
  return openWalks(person).find((walk) => walk.bed === bed && walk.open?.round === undefined && !isPast(walk));
}

/**
 * From so long after its beginning on a walk is not gone on with: the bed has grown, and one walk should show one state of it.
 * Common practice, no source.
 */
const GO_ON_MS = 14 * 24 * 60 * 60 * 1000;

/** True for a walk that is too old to be gone on with, whether it was ended or not. */
export function isPast({ at, by }: WalkRow): boolean {
  // Until the server has sent the time, its beginning and now are read from one clock, right or wrong.
  const now = by?.stamp.quality === 'pending' ? Date.now() : serverNow();
  return at <= now - GO_ON_MS;
}

/**
 * This person's walks that were begun and not ended, the newest first, those that are too old to continue too. While the
 * first reading lasts the end of an earlier walk may be still to come: only what was begun here since counts.
 */
export function openWalks(person: string | undefined): WalkRow[] {
  return [...walksNotEnded.value.values()]
    .filter((walk) => walk.by?.person === person)
    .filter((walk) => firstReading.value === undefined || isOwnNew(walk.by))
    .sort((a, b) => b.at - a.at);
}
