/** Which beds want a walk and why, which are closed, and the rest: from the records on the phone alone. */
import { briefs } from '../../journal/briefs';
import { judgedOf, spansOf } from '../../journal/input';
import type { Brief } from '../../journal/shape';
import { beds, houses, lots } from '../../journal/things';
import { daysSince } from '../../words/format';
import { closedNow } from './entry';

export type Due = 'never' | 'days' | 'chlorosis' | 'roots' | '';

export interface BedLine {
  bed: string;
  brief: Brief | undefined;
  due: Due;
  days: number;
  /** When the last entry interval ends, ms since 1970; 0 when none runs. */
  closedUntil: number;
  /** How urgent: days since the last walk over the days between walks; trouble counts as one interval more. */
  urgency: number;
}

/** Trouble is looked at again after this many days, whatever the crop's interval. Common practice, no source. */
const TROUBLE_DAYS = 2;

/** Every bed that a lot stands on, in the order of houses and beds. */
export function bedLines(now: number): BedLine[] {
  return [...beds.value.values()]
    .filter((bed) => spansOf(bed.id).length > 0)
    .sort((a, b) => houseOrder(a.house) - houseOrder(b.house) || (a.order ?? 0) - (b.order ?? 0))
    .map((bed) => line(bed.id, now));
}

function houseOrder(house: string | undefined): number {
  return houses.value.get(house ?? '')?.order ?? Number.MAX_SAFE_INTEGER;
}

function line(bed: string, now: number): BedLine {
  const brief = briefs.value.get(bed);
  const until = closedNow(bed);
  const every = Math.min(...spansOf(bed).map((span) => judgedOf(lots.value.get(span.lot ?? '')?.crop).walk_every_days));
  const days = brief ? daysSince(brief.lastWalkAt, now) : 0;
  const due = dueFor(brief, days, every);
  const trouble = due === 'chlorosis' || due === 'roots' ? 1 : 0;
  return { bed, brief, due, days, closedUntil: until, urgency: (brief ? days / every : 1) + trouble };
}

function dueFor(brief: Brief | undefined, days: number, every: number): Due {
  if (!brief) return 'never';
  if (brief.rot > 0 && days >= TROUBLE_DAYS) return 'roots';
  if (brief.chlorosis > 0 && days >= TROUBLE_DAYS) return 'chlorosis';
  return days >= every ? 'days' : '';
}
