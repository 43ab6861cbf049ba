/** Which beds want a walk and why, which are closed, and the rest: from the records on the phone alone. */
import { firstReading } from '../../journal/arriving';
import { briefs, isPending } from '../../journal/briefs';
import { judgedOf, spansOf } from '../../journal/input';
import type { Brief, WholeWalk } from '../../journal/shape';
import { beds, houses, lots, people, walks, type WalkRow } from '../../journal/things';
import { t } from '../../words';
import { daysSince } from '../../words/format';
import { me } from '../../state';
import { closedNow } from './entry';
import { isPast } from './open';

/** Pending: what is here does not say yet, because records are still arriving or the last walk is being scored. */
export type Due = 'never' | 'days' | 'chlorosis' | 'roots' | 'pending' | '';

export interface BedLine {
  bed: string;
  brief: Brief | undefined;
  due: Due;
  /** When the last whole walk was opened, ms since 1970, and how many days ago; 0 when there was none. */
  last: number;
  days: number;
  /** Who is in the bed just now: a walk that is not ended, and not too old to be gone on with. */
  going: Going | undefined;
  /** When the last entry interval ends, ms since 1970; 0 when none runs. */
  closedUntil: number;
  /** How urgent: days since the last walk over the days between walks; trouble counts as one interval more. */
  urgency: number;
}

export interface Going {
  /** "" for whoever holds this phone. */
  name: string;
  pots: number;
}

/** Trouble is looked at again after this many days, whatever the crop's interval. Common practice, no source. */
const TROUBLE_DAYS = 2;

/** Every bed that a lot stands on, in the order of houses and beds. */
export function bedLines(now: number): BedLine[] {
  const under = walksUnderWay();
  return [...beds.value.values()]
    .filter((bed) => spansOf(bed.id).length > 0)
    .sort((a, b) => houseOrder(a.house) - houseOrder(b.house) || (a.order ?? 0) - (b.order ?? 0))
    .map((bed) => line(bed.id, now, under.get(bed.id)));
}

function houseOrder(house: string | undefined): number {
  return houses.value.get(house ?? '')?.order ?? Number.MAX_SAFE_INTEGER;
}

/** The newest walk of each bed that somebody is in. A second look does not walk the bed. */
function walksUnderWay(): Map<string, WalkRow> {
  const byBed = new Map<string, WalkRow>();
  for (const walk of walks.value.values()) {
    if (walk.end || walk.open?.round !== undefined || isPast(walk)) continue;
    if (walk.at > (byBed.get(walk.bed)?.at ?? 0)) byBed.set(walk.bed, walk);
  }
  return byBed;
}

function line(bed: string, now: number, walk: WalkRow | undefined): BedLine {
  const brief = briefs.value.get(bed);
  const closedUntil = closedNow(bed);
  const every = Math.min(...spansOf(bed).map((span) => judgedOf(lots.value.get(span.lot ?? '')?.crop).walk_every_days));
  const whole = wholeOf(brief);
  const last = whole?.at ?? brief?.lastWalkAt ?? 0;
  const days = last > 0 ? daysSince(last, now) : 0;
  const due = firstReading.value !== undefined || isPending(bed) ? 'pending' : dueFor(whole, days, every);
  const trouble = due === 'chlorosis' || due === 'roots' ? 1 : 0;
  const urgency = (whole ? days / every : 1) + trouble;
  return { bed, brief, due, last, days, going: walk && goingIn(walk, brief), closedUntil, urgency };
}

/** What an earlier build kept does not say which walk was whole: until it is reckoned anew the last one is taken for it. */
function wholeOf(brief: Brief | undefined): WholeWalk | null {
  if (!brief) return null;
  return brief.whole === undefined ? { ...brief, at: brief.lastWalkAt } : brief.whole;
}

function goingIn(walk: WalkRow, brief: Brief | undefined): Going {
  const person = walk.by?.person ?? '';
  const name = person === me.value?.person ? '' : (people.value.get(person)?.name ?? t.value.common.unknown);
  // A walk that has seen what its plan wanted, and was not ended yet, is the one that the bed is shown by.
  const seen = brief?.walk === walk.id ? brief.seen : brief?.going?.walk === walk.id ? brief.going.seen : 0;
  return { name, pots: seen };
}

function dueFor(whole: WholeWalk | null, days: number, every: number): Due {
  // A walk that was left off clears nothing, but it was one: a day later the bed is not called never walked.
  if (!whole) return days > 0 ? 'days' : 'never';
  if (whole.rot > 0 && days >= TROUBLE_DAYS) return 'roots';
  if (whole.chlorosis > 0 && days >= TROUBLE_DAYS) return 'chlorosis';
  return days >= every ? 'days' : '';
}
