import type { Bed, Place } from '../../../../../schema/types';
import type { Plain } from '../../../journal/records/registers';
import { appWords } from '../../../words';
import { useWidth } from '../../../parts/width';
import type { Course } from './course';
import type { Reach } from './way';

const HEIGHT = 16;
/** Half of the widest mark, so that none at an end is cut. */
const INSET = 5;
/** A name of an end is written out up to so many letters; the line below the way says it whole. */
const LETTERS = 10;

/** The whole bed as a line, true along it, entry end left: what was seen, this pot, and how far the next metres reach. */
export function WholeBed({
  course,
  bed,
  here,
  reach,
}: {
  course: Course;
  bed: Plain<Bed> | undefined;
  here?: Place;
  /** What is drawn large. */
  reach?: Reach;
}) {
  const [box, width] = useWidth<HTMLDivElement>(220);
  const rows = bed?.rows ?? 1;
  const x = (row: number) => INSET + ((row - 0.5) / rows) * (width - 2 * INSET);
  return (
    <div class="whole small" aria-hidden="true">
      <span>{short(bed?.entry_end ?? appWords.value.common.strip.entry)}</span>
      <div ref={box}>
        <svg width={width} height={HEIGHT} viewBox={`0 0 ${width} ${HEIGHT}`}>
          <rect class="ground" x={1} y={3} width={width - 2} height={HEIGHT - 6} />
          {reach && (
            <rect
              class="reach"
              x={x(reach.from - 0.5)}
              y={3}
              width={x(reach.to + 0.5) - x(reach.from - 0.5)}
              height={HEIGHT - 6}
            />
          )}
          {course.standing.map(
            ({ id, now }) =>
              now.place && <circle key={id} class="pot seen" cx={x(now.place.row)} cy={HEIGHT / 2} r={2.5} />,
          )}
          {here && <path class="tick" d={`M${x(here.row)} 0V${HEIGHT}`} />}
        </svg>
      </div>
      <span>{short(bed?.far_end ?? '')}</span>
    </div>
  );
}

function short(name: string): string {
  return name.length > LETTERS ? `${name.slice(0, LETTERS - 1).trimEnd()}…` : name;
}
