/** Which beds want a walk and why, which are closed, and the rest: from the records on the phone alone. */
import type { PastWalk } from '../../../../../schema/types';
import { dueOf } from '../../../../../sync/bed/due';
import { firstReading } from '../../../journal/inbox/arriving';
import { briefs, isPending } from '../../../journal/records/briefs';
import { comingTo, isCarried, partialWalk } from '../../../journal/records/carried';
import { judgedOf, spansOf } from '../../../journal/records/input';
import type { Brief } from '../../../journal/store/shape';
import { beds, houses, lots, people } from '../../../journal/records/registers';
import { walksNotEnded, type WalkRow } from '../../../journal/records/walks';
import { appWords } from '../../../words';
import { daysSince } from '../../../words/format';
import { me } from '../../../state';
import { closedNow } from '../closed';
import { isPast } from '../walk/openWalks';

/**
 * Pending: what is here does not say yet, because records are still arriving or the last walk is being scored; away: notes of the bed are
 * still at the server.
 */
type Due = 'never' | 'days' | 'chlorosis' | 'roots' | 'pending' | 'away' | '';

export interface BedLine {
  bed: string;
  brief: Brief | undefined;
  /** True where the brief lacks pots that are at the server alone. */
  isPartial: boolean;
  due: Due;
  /** When the last whole walk was opened, ms since 1970, and how many days ago; 0 when there was none. */
  last: number;
  days: number;
  /** Who is in the bed just now: a walk that is not ended, and not too old to be gone on with. */
  inProgress: InProgress | undefined;
  /** When the last entry interval ends, ms since 1970; 0 when none runs. */
  closedUntil: number;
  house: string;
  /** What grows there, as the lots say it. */
  crops: readonly string[];
}

interface InProgress {
  /** "" for whoever holds this phone. */
  name: string;
  pots: number;
}

/** Every bed of this phone's houses that a lot stands on, in the order of houses and beds. */
export function bedLines(now: number): BedLine[] {
  const under = walksUnderWay();
  return [...beds.value.values()]
    .filter((bed) => isCarried(bed.id) && spansOf(bed.id).length > 0)
    .sort((a, b) => houseOrder(a.house) - houseOrder(b.house) || (a.order ?? 0) - (b.order ?? 0))
    .map((bed) => line(bed.id, now, under.get(bed.id)));
}

function houseOrder(house: string | undefined): number {
  return houses.value.get(house ?? '')?.order ?? Number.MAX_SAFE_INTEGER;
}

/** The newest walk of each bed that somebody is in. A second look does not walk the bed. */
function walksUnderWay(): Map<string, WalkRow> {
  const byBed = new Map<string, WalkRow>();
  for (const walk of walksNotEnded.value.values()) {
    if (walk.open?.round !== undefined || isPast(walk)) continue;
    if (walk.at > (byBed.get(walk.bed)?.at ?? 0)) byBed.set(walk.bed, walk);
  }
  return byBed;
}

function line(bed: string, now: number, walk: WalkRow | undefined): BedLine {
  const brief = briefs.value.get(bed);
  const closedUntil = closedNow(bed);
  const crops = spansOf(bed).map((span) => lots.value.get(span.lot ?? '')?.crop);
  const every = crops.map((crop) => judgedOf(crop).walk_every_days);
  const partial = partialWalk(bed);
  // Of a walk that is here in part it counts only when it was.
  const due = dueOf(partial > 0 ? [agedWalk(partial, now)] : walksOf(brief, now), every);
  const isRead = firstReading.value === undefined;
  const why = isRead && comingTo(bed).length > 0 ? 'away' : !isRead || isPending(bed) ? 'pending' : (due.why as Due);
  const last = brief?.whole?.at ?? brief?.lastWalkAt ?? partial;
  return {
    bed,
    brief,
    isPartial: partial > 0,
    due: why,
    last,
    days: due.days,
    inProgress: walk && progressOf(walk, brief),
    closedUntil,
    house: beds.value.get(bed)?.house ?? '',
    crops: [...new Set(crops.filter((crop) => crop !== undefined))],
  };
}

/** What the rule asks of a bed's walks: its newest whole one, or while there is none the newest of all. */
function walksOf(brief: Brief | undefined, now: number): PastWalk[] {
  if (!brief) return [];
  const { whole, lastWalkAt } = brief;
  if (!whole) return [agedWalk(lastWalkAt, now)];
  return [{ ...agedWalk(whole.at, now), whole: true, roots: whole.roots, chlorosis: whole.chlorosis }];
}

/** A walk of which only its age is known. */
function agedWalk(at: number, now: number): PastWalk {
  return { whole: false, days_ago: daysSince(at, now), roots: 'open', chlorosis: 'open' };
}

function progressOf(walk: WalkRow, brief: Brief | undefined): InProgress {
  const person = walk.by?.person ?? '';
  const name = person === me.value?.person ? '' : (people.value.get(person)?.name ?? appWords.value.common.unknown);
  // A walk that has seen what its plan wanted, and was not ended yet, is the one that the bed is shown by.
  const seen = brief?.walk === walk.id ? brief.seen : brief?.inProgress?.walk === walk.id ? brief.inProgress.seen : 0;
  return { name, pots: seen };
}
