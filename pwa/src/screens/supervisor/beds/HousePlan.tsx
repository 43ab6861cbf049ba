import type { CSSProperties } from 'preact';
import type { BedBrief, BedScore, HouseView } from '../../../../../schema/types';
import { Spark } from '../../../parts/Spark';
import { useWidth } from '../../../parts/width';
import { Link } from '../../../router';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { ago, daysSince, distance, estimate, points, untilWhen } from '../../../words/format';
import { briefingWords } from '../../../words/briefing';
import { rampStep } from '../../../parts/ramp';
import { bedName, isClosed, lotLabel, needsStep, whyDue } from '../names';

/** Below this a bed's words do not fit its drawing; then beds are listed, each still as long as it is to scale. */
const LEAST_TILE = 118;
const TILE_HIGH = 56;

/** One house to scale, entry ends left. Where beds are narrow on the ground the plan is stretched across them alone. */
export function HousePlan({ house, shown }: { house: HouseView; shown: ReadonlySet<string> }) {
  const words = supervisorWords.value.pages;
  const [box, width] = useWidth<HTMLDivElement>(1000);
  const beds = house.beds.filter((bed) => shown.has(bed.id));
  const name = words.houseName(house.name);
  const ground = groundOf(house);
  const along = width / ground.long;
  const narrowest = Math.min(...house.beds.map((bed) => bed.width_mm));
  const across = Math.max(along, TILE_HIGH / narrowest);
  const listed = Math.min(...house.beds.map((bed) => bed.length_mm)) * along < LEAST_TILE;
  const longest = Math.max(...house.beds.map((bed) => bed.length_mm));
  const place = (bed: BedBrief): CSSProperties =>
    listed
      ? { width: `${(bed.length_mm / longest) * 100}%` }
      : {
          left: `${bed.x_mm * along}px`,
          top: `${bed.y_mm * across}px`,
          width: `${bed.length_mm * along}px`,
          height: `${bed.width_mm * across}px`,
        };
  return (
    <section class="house">
      <h2>
        {name}
        {house.note && <span class="note"> · {house.note}</span>}
      </h2>
      <div ref={box}>
        <ul
          class={listed ? 'beds listed' : 'beds drawn'}
          aria-label={words.overview.plan(name)}
          style={listed ? {} : { height: `${ground.wide * across}px` }}
        >
          {beds.map((bed) => (
            <li key={bed.id} style={place(bed)}>
              <Tile bed={bed} />
            </li>
          ))}
        </ul>
        {!listed && <Scale along={along} />}
      </div>
    </section>
  );
}

/** The house's walls, in mm; where nobody wrote them down, the beds and as much around them as a narrow aisle. */
function groundOf(house: HouseView): { long: number; wide: number } {
  const aisle = 600;
  const long = Math.max(...house.beds.map((bed) => bed.x_mm + bed.length_mm)) + aisle;
  const wide = Math.max(...house.beds.map((bed) => bed.y_mm + bed.width_mm)) + aisle;
  return { long: Math.max(long, house.length_mm), wide: Math.max(wide, house.width_mm) };
}

function Tile({ bed }: { bed: BedBrief }) {
  const words = supervisorWords.value.pages.overview;
  const { score } = bed;
  const hasNumber = score !== undefined && !score.too_few_pots && score.uniformity.known;
  const tone = hasNumber ? `u${rampStep(score.uniformity.value)}` : score ? 'few' : 'never';
  const age = bed.last_walk_at > 0 ? words.days(daysSince(bed.last_walk_at)) : '';
  return (
    <Link to={`/beds/${bed.id}`} class={`bedtile ${tone}`}>
      {bed.spans
        .filter((span) => span.from_row > 1)
        .map((span) => (
          <span key={span.span} class="cut" style={{ left: `${((span.from_row - 1) / bed.rows) * 100}%` }} />
        ))}
      <span class="over" aria-hidden="true">
        <b class="number">{hasNumber ? points(score.uniformity.value) : noNumber(score)}</b>
        {hasNumber && <Spark values={courseOf(bed, score)} />}
      </span>
      <span class="under" aria-hidden="true">
        {bedName(bed.name)}
        {age && ` · ${age}`}
        {bed.under_way && ` · ${briefingWords.value.briefing.walkingShort(bed.under_way.seen, bed.under_way.planned)}`}
        {isClosed(bed) ? ` · ${words.closedShort}` : bed.due && ` · ${words.dueShort}`}
      </span>
      {needsStep(bed) && (
        <span class="flag" aria-hidden="true">
          !
        </span>
      )}
      <span class="unseen">{describe(bed, hasNumber)}</span>
    </Link>
  );
}

/**
 * The trait that the number is of, walk by walk: the weaker of two would fall where buds are first counted, and a walk that
 * is not ended saw a part of the bed.
 */
function courseOf(bed: BedBrief, score: BedScore): number[] {
  const trait = score.limiting_trait === 'buds' ? 'buds' : 'head';
  return bed.trend.filter((point) => point.whole && point[trait].known).map((point) => point[trait].value);
}

/** Why a bed has no number. */
function noNumber(score: BedScore | undefined): string {
  const words = supervisorWords.value.pages.overview;
  if (!score) return words.never;
  return score.too_few_pots ? words.tooFewPots : appWords.value.common.noSizes;
}

/** The tile in one breath for a screen reader. */
function describe(bed: BedBrief, hasNumber: boolean): string {
  const words = supervisorWords.value.pages.overview;
  const { score } = bed;
  return [
    bedName(bed.name),
    hasNumber && score ? words.uniformity(estimate(score.uniformity, points)) : noNumber(score),
    ...(score ? [words.seen(score.seen)] : []),
    ...(bed.last_walk_at > 0 ? [words.walked(ago(bed.last_walk_at))] : []),
    ...(bed.under_way ? [briefingWords.value.briefing.walkingShort(bed.under_way.seen, bed.under_way.planned)] : []),
    ...bed.spans.map(lotLabel),
    ...(isClosed(bed) ? [words.closed(untilWhen(bed.closed_until))] : []),
    ...(whyDue(bed) ? [`${words.due}: ${whyDue(bed)}`] : []),
    ...(needsStep(bed) ? [words.stepNeeded] : []),
  ].join(', ');
}

/** A length on the ground as long as it is in the plan. */
function Scale({ along }: { along: number }) {
  const mm = [1000, 2000, 5000, 10000, 20000].find((each) => each * along >= 60) ?? 50000;
  return (
    <p class="ruler small quiet" aria-hidden="true">
      <span class="rule" style={{ width: `${mm * along}px` }} /> {distance(mm)}
    </p>
  );
}
