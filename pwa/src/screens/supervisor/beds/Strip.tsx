import type { BedBrief } from '../../../../../schema/types';
import { aimOf } from '../../../journal/records/input';
import { Link } from '../../../router';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { daysSince, estimate, points, untilWhen } from '../../../words/format';
import { briefingWords } from '../../../words/briefing';
import { lotLine } from '../../../words/names';
import { bedName, isClosed, isDue, lastWalked, whyDue } from '../names';
import { toBed } from './place';

interface Props {
  bed: BedBrief;
  /** Its place in the attention list, 0 where it is not in it. */
  rank: number;
  /** The longest bed that it stands among, mm: strips are as long as their beds. */
  longest: number;
}

/** The number that a bed shows, 0 to 1; undefined where too few pots were checked or nobody has walked. */
export function shownNumber({ score }: BedBrief): number | undefined {
  return score && !score.too_few_pots && score.uniformity.known ? score.uniformity.value : undefined;
}

/** How far below the aim the middle tone reaches, in points. */
export const MIDDLE_POINTS = 15;

/**
 * The tone of the block by the share of pots within the band, as it is printed: at the aim or over, up to 15 points below it, further below.
 * @param aim as for `aimOf`, 0 to 1
 */
export function toneOf(value: number, aim: number): 'light' | 'middle' | 'dark' {
  const below = Math.round(aim * 100) - Math.round(value * 100);
  return below <= 0 ? 'light' : below <= MIDDLE_POINTS ? 'middle' : 'dark';
}

/** The tone of a bed whose number is shown, by what is aimed for in its crops. */
export function toneOfBed(bed: BedBrief, value: number): ReturnType<typeof toneOf> {
  return toneOf(value, aimOf(bed.spans.map(({ crop }) => crop)).aim);
}

/** One bed as a strip: its number, how old it is, the share of pots out of the band as a block at the right, the interval at the foot. */
export function Strip({ bed, rank, longest }: Props) {
  const words = supervisorWords.value.pages.overview;
  const value = shownNumber(bed);
  const interval = bed.score?.uniformity.interval;
  const inProgress = bed.under_way;
  const age = lastWalked(bed) ? words.days(daysSince(bed.last_walk_at)) : '';
  const part = age && bed.unfinished ? words.inPart : '';
  const state = isClosed(bed) ? words.closedShort : isDue(bed) ? words.dueShort : '';
  const tone = value === undefined ? (bed.score ? 'few' : 'never') : toneOfBed(bed, value);
  return (
    <li class="bedline" style={{ '--long': `${(bed.length_mm / longest) * 100}%` }}>
      {rank > 0 && (
        <a class="rank" href="#needs" aria-label={supervisorWords.value.morning.rank(rank)}>
          {rank}
        </a>
      )}
      <Link to={toBed(bed.id)} class={`bedtile ${tone}${inProgress ? ' walking' : ''}`}>
        {value !== undefined && (
          <span class="block" style={{ left: `${value * 100}%` }}>
            <span class="out" />
          </span>
        )}
        {bed.spans
          .filter((span) => span.from_row > 1)
          .map((span) => (
            <span key={span.span} class="cut" style={{ left: `${((span.from_row - 1) / bed.rows) * 100}%` }} />
          ))}
        {value !== undefined && interval?.known && (
          <span
            class="interval"
            style={{ left: `${interval.low * 100}%`, width: `${(interval.high - interval.low) * 100}%` }}
          />
        )}
        <span class="words" aria-hidden="true">
          <span class="name">{bedName(bed.name)}</span>{' '}
          <b class="number">{value === undefined ? noNumber(bed) : points(value)}</b>{' '}
          {/* The walk that is under way stands there. */}
          {!inProgress && (
            <span class={state ? 'state due' : 'state'}>
              {[[age, part].filter(Boolean).join(' '), state].filter(Boolean).join(', ')}
            </span>
          )}
        </span>
        {inProgress && (
          <span class="now" aria-hidden="true">
            {briefingWords.value.briefing.walkingShort(inProgress.seen, inProgress.planned)}
          </span>
        )}
        <span class="unseen">{describeBed(bed, value)}</span>
      </Link>
    </li>
  );
}

/** Why a bed has no number. */
function noNumber({ score }: BedBrief): string {
  const words = supervisorWords.value;
  if (!score) return words.pages.overview.never;
  return score.too_few_pots ? words.morning.stripFew(score.seen) : appWords.value.common.noSizes;
}

/** The strip in one breath for a screen reader. */
function describeBed(bed: BedBrief, value: number | undefined): string {
  const words = supervisorWords.value.pages.overview;
  const { score } = bed;
  return [
    bedName(bed.name),
    value !== undefined && score ? words.uniformity(estimate(score.uniformity, points)) : noNumber(bed),
    ...(score ? [words.seen(score.seen)] : []),
    ...(lastWalked(bed) ? [lastWalked(bed)] : []),
    ...(bed.under_way ? [briefingWords.value.briefing.walkingShort(bed.under_way.seen, bed.under_way.planned)] : []),
    ...bed.spans.map(lotLine),
    ...(isClosed(bed) ? [words.closed(untilWhen(bed.closed_until))] : []),
    ...(whyDue(bed) ? [`${words.due}: ${whyDue(bed)}`] : []),
  ].join(', ');
}
