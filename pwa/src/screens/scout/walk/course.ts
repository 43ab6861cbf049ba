/** Where a walk stands: which pots the plan asks for, which are done, what is next, and how sure the bed is by now. */
import { useMemo } from 'preact/hooks';
import { howMany, makePlan, scoreBed } from '../../../../../sync/bed/bed';
import type { BedInput, BedScore, PotSeen, Place, Skip } from '../../../../../schema/types';
import { briefs } from '../../../journal/records/briefs';
import { inputOf } from '../../../journal/records/bedInput';
import { potsOfWalk, useWalk, type FactRow, type PotRow } from '../../../journal/records/read';
import type { Intent } from '../../../journal/store/shape';
import { rounds, seenOf } from '../../../journal/records/registers';
import { walks, type WalkRow } from '../../../journal/records/walks';
import { intent, note } from '../../../journal/outbox/write';
import { randomId } from '../../../journal/store/device';
import { go } from '../../../router';
import { hasAnswers } from '../../../journal/outbox/draft';
import { card, open as openCard } from '../card/card';
import { aboutOf } from '../../../journal/records/about';
import { isPast } from './openWalks';
import { standsAt, type Stands } from './stands';
import { restOf } from './rest';
import { inWalkingOrder } from './way';

export interface SkippedPlace {
  /** The note that says so. */
  id: string;
  place: Place;
  why: Skip['why'];
}

export interface Course {
  walk: WalkRow;
  pots: PotRow[];
  /** Pots that count: not struck out. */
  standing: PotRow[];
  /** Places that were skipped, and that nobody took since. */
  skipped: SkippedPlace[];
  input: BedInput;
  /** Pots of the bed's walk before this one, while they tell what is usual in it; none of long ago. */
  before: PotSeen[];
  score: BedScore;
  places: Place[];
  /** True while pots of this walk were lost on this phone and are being read again: nothing that is computed of it may be shown. */
  isPartial: boolean;
  /** True for a second look: nothing that would lean the eye one way may be shown, and it ends with its places. */
  blind: boolean;
  /** The next pot to pull; the plan goes on as long as the interval is wider than wanted. */
  next: Place | undefined;
  /** Where the scout stands by what was noted or skipped last; nothing where that is of no known place, 'entry' before the first. */
  stands: Stands;
  /** The places that are still asked for, those ahead of the scout first. */
  left: Place[];
  /** How many pots more the estimate asks for by now; 0 when enough were seen. */
  asked: number;
  /** About how many pots in all, as it is said. */
  about: number;
}

export function useCourse(id: string | undefined): Course | undefined {
  const walk = walks.value.get(id ?? '');
  const found = useWalk(id ?? '');
  const earlier = useWalk(walkBefore(walk));
  return useMemo(
    () => (walk && found ? courseOf(walk, found, earlier?.isPartial ? [] : earlier?.pots) : undefined),
    [walk, found, earlier],
  );
}

/** Heads of more than two weeks ago are another size. Common practice, no source. */
const BEFORE_MS = 14 * 24 * 60 * 60 * 1000;

function walkBefore(walk: WalkRow | undefined): string {
  const last = briefs.value.get(walk?.bed ?? '');
  return walk && last && last.walk !== walk.id && walk.at - last.lastWalkAt < BEFORE_MS ? last.walk : '';
}

function courseOf(
  walk: WalkRow,
  { pots, skips, isPartial }: { pots: PotRow[]; skips: FactRow[]; isPartial: boolean },
  earlier: readonly PotRow[] = [],
): Course | undefined {
  const input = inputOf(walk.bed, pots);
  if (!input || !walk.open) return undefined;
  const standing = pots.filter((pot) => !pot.voided);
  const score = scoreBed(input);
  // From what stands there alone: a pot of another lot must not move the places that are still to be walked.
  const bare = inputOf(walk.bed, []) ?? input;
  const planned = inWalkingOrder(bare, walk.open.places ?? makePlan(bare, walk.open.seed, walk.open.planned).places);
  const taken = new Set<string>();
  for (const pot of standing) if (pot.now.place) taken.add(nameOf(pot.now.place));
  const skipped = skips
    .filter((skip) => !skip.voided)
    .map(({ id, body }) => ({ id, ...(body as Skip) }))
    .filter(({ place }) => !taken.has(nameOf(place)));
  for (const { place } of skipped) taken.add(nameOf(place));
  const untaken = (place: Place) => !taken.has(nameOf(place));
  const open = planned.filter(untaken);
  const blind = walk.open.round !== undefined;
  const left = blind ? open : ahead(restOf(input, score, planned, open), planned, standing);
  if (!blind && left.length === 0 && score.stop.verdict === 'more') {
    // Drawn from the walk's seed and what is already seen, so the same pots are asked for after a restart.
    const further = makePlan(bare, (walk.open.seed + taken.size) >>> 0, Math.max(1, score.stop.more));
    left.push(...inWalkingOrder(bare, further.places).filter(untaken));
  }
  const asked = Math.max(left.length, blind || score.stop.verdict !== 'more' ? 0 : score.stop.more);
  const before = inputOf(walk.bed, earlier)?.pots ?? [];
  return {
    walk,
    pots,
    standing,
    skipped,
    input,
    before,
    score,
    places: planned,
    isPartial,
    blind,
    stands: standsAt(pots, skips),
    next: left[0],
    left,
    asked,
    about: blind ? standing.length + asked : aboutOf(walk.id, standing.length, asked),
  };
}

/** Those that come after the pot noted last before those that were passed: nobody is sent back while there is a way on. */
function ahead(left: Place[], planned: readonly Place[], standing: readonly PotRow[]): Place[] {
  const names = planned.map(nameOf);
  const last = standing[standing.length - 1]?.now.place;
  const at = last ? names.indexOf(nameOf(last)) : -1;
  const isAhead = (place: Place) => names.indexOf(nameOf(place)) > at;
  return [...left.filter(isAhead), ...left.filter((place) => !isAhead(place))];
}

/**
 * Opens the card of the next pot, not counting one that was just dealt with. A second look that has none left is ended, and so is a
 * walk that is too old to be gone on with.
 */
export function openNext(course: Course, after?: Place): void {
  const { walk, blind } = course;
  const left = course.left.filter((place) => place.row !== after?.row || place.across !== after?.across);
  if (isPast(walk) || (blind && left.length === 0)) go(`/walk/${walk.id}/end`);
  else openCard(walk.id, walk.bed, left[0], left[0] !== undefined);
}

/**
 * The pot noted last may have been the last one asked for, and then have said that more are needed: the empty card of no place that
 * stands there by then takes the next.
 */
export function continueWith(course: Course): void {
  const now = card.value;
  const isEmpty = now !== undefined && now.pot === undefined && now.now.place === undefined && now.before.length === 0;
  if (isEmpty && course.next !== undefined && !hasAnswers(now.now)) openNext(course);
}

function nameOf(place: Place): string {
  return `${place.row}/${place.across}`;
}

/** How many pots a walk of this bed would be planned with. */
export async function plannedFor(bed: string): Promise<number> {
  const last = briefs.value.get(bed);
  const pots = last ? await potsOfWalk(last.walk) : null;
  const input = inputOf(bed, pots ?? []);
  if (!input) return 1;
  // Of a walk that is here in part as of none.
  return howMany(inputOf(bed, []) ?? input, pots ? scoreBed(input) : null);
}

/**
 * Opens a walk of a bed.
 * @param planned how many pots the screen said, so that the walk asks for that number
 * @returns its id
 */
export async function startWalk(bed: string, planned?: number): Promise<string> {
  const walk = randomId();
  const seed = crypto.getRandomValues(new Uint32Array(1))[0] ?? 1;
  await note('walk', { walk, bed, seed, planned: planned ?? (await plannedFor(bed)) });
  return walk;
}

/** Opens a blind second look at the pots that stand at these places. @returns its id */
export async function startRound(round: string, bed: string, places: Place[]): Promise<string> {
  const walk = randomId();
  await note('walk', { walk, bed, seed: 0, planned: places.length, round, places });
  return walk;
}

/**
 * The note that a round is done, to be saved along with the end of the walk that answers it. A walk that looked at no pot
 * answers nothing: its round is offered again.
 */
export function doneWith(walk: WalkRow, seen: number): Intent[] {
  const round = walk.open?.round;
  if (!round || seen === 0 || rounds.value.get(round)?.done) return [];
  const saw = seenOf('round', round, ['bed', 'walk', 'by', 'done']);
  return [intent('round', { of: round, done: true, ...(saw.length > 0 ? { saw } : {}) }, { bed: walk.bed })];
}
