import type { RightTenth } from '../../../../../schema/types';
import { percent } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';

/** The size of the plot and of its margins, in px. */
const SIDE = 260;
const LEFT = 72;
const RIGHT = 28;
const BELOW = 44;
const TOP = 10;
const marks = [0, 0.5, 1];

/** How often chances came true, against what was said: the table beside it has the same numbers. */
export function Reliability({ tenths }: { tenths: readonly RightTenth[] }) {
  const words = supervisorWords.value.right;
  const x = (share: number) => LEFT + share * SIDE;
  const y = (share: number) => TOP + (1 - share) * SIDE;
  return (
    <figure>
      <svg
        viewBox={`0 0 ${LEFT + SIDE + RIGHT} ${TOP + SIDE + BELOW}`}
        width={LEFT + SIDE + RIGHT}
        height={TOP + SIDE + BELOW}
        role="img"
        aria-label={words.plotTitle}
      >
        <rect class="frame" x={LEFT} y={TOP} width={SIDE} height={SIDE} />
        <line class="even" x1={x(0)} y1={y(0)} x2={x(1)} y2={y(1)} />
        {marks.map((mark) => (
          <g key={mark}>
            <text x={x(mark)} y={TOP + SIDE + 18} text-anchor="middle">
              {percent(mark)}
            </text>
            <text x={LEFT - 6} y={y(mark) + 5} text-anchor="end">
              {percent(mark)}
            </text>
          </g>
        ))}
        <text x={x(0.5)} y={TOP + SIDE + 38} text-anchor="middle">
          {words.plotAxes.said}
        </text>
        <text x={14} y={y(0.5)} text-anchor="middle" transform={`rotate(-90 14 ${y(0.5)})`}>
          {words.plotAxes.came}
        </text>
        {tenths.map(({ from, chance, in_time: { count, n, low, high } }) => (
          <g key={from}>
            <line class="bar" x1={x(chance)} y1={y(low)} x2={x(chance)} y2={y(high)} />
            <circle cx={x(chance)} cy={y(count / n)} r={5} />
          </g>
        ))}
      </svg>
      <figcaption class="small quiet">{words.plot}</figcaption>
    </figure>
  );
}
