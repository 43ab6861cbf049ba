import { Fragment } from 'preact';
import type { SupplyView, SupplyWeek } from '../../../../../schema/types';
import { Link } from '../../../router';
import { potSize } from '../../../words/entry';
import { number, shipWeek } from '../../../words/format';
import { nameOfCrop } from '../../../words/names';
import { supervisorWords } from '../../../words/supervisor';
import '../../../style/supervisor-promises.css';

interface Sum {
  week: string;
  low: number;
  high: number;
  booked: number;
  /**
   * What can be promised on top, of any grade and of the best alone, of the crops and sizes that have any left.
   */
  safe: number;
  best: number;
  /** What is booked of the others and not sure. */
  lacks: Lack[];
}

interface Lack {
  crop: string;
  potMM: number;
  pots: number;
}

export function saidLack({ crop, potMM, pots }: Lack): string {
  return supervisorWords.value.morning.promiseMissing(number(pots), nameOfCrop(crop), potSize(potMM));
}

/** The weeks that are drawn: the next ones. */
const SHOWN = 8;

/**
 * A ship week over all crops and pot sizes: pots of any grade, its bookings, what is safe on top and what is short. One crop's surplus fills
 * no other's bookings, so the two are never taken off each other. The limits of two crops added up are wider than those of the sum, so they
 * promise no more than they can hold.
 */
export function sumsOf(weeks: readonly SupplyWeek[]): Sum[] {
  const sums = new Map<string, Sum>();
  for (const { week, crop, pot_mm: potMM, grades, missing } of weeks) {
    const [best, lowest] = [grades[0], grades.at(-1)];
    if (!best || !lowest) continue;
    const sum = sums.get(week) ?? { week, low: 0, high: 0, booked: 0, safe: 0, best: 0, lacks: [] };
    const booked = grades.reduce((all, grade) => all + grade.booked, 0);
    sums.set(week, {
      week,
      low: sum.low + lowest.low,
      high: sum.high + lowest.high,
      booked: sum.booked + booked,
      safe: sum.safe + Math.max(0, lowest.safe),
      best: sum.best + Math.max(0, best.safe),
      lacks: missing > 0 ? [...sum.lacks, { crop, potMM, pots: missing }] : sum.lacks,
    });
  }
  return [...sums.values()].sort((a, b) => (a.week < b.week ? -1 : 1));
}

const WIDE = 64;

/** The next ship weeks: what 90 of 100 cases bring, what is booked, and what is safe to promise on top and what is not sure. */
export function Promises({ view }: { view: SupplyView }) {
  const words = supervisorWords.value.morning;
  const weeks = sumsOf(view.weeks).slice(0, SHOWN);
  if (weeks.length === 0) return <p class="small quiet">{words.promiseNone}</p>;
  const most = Math.max(1, ...weeks.flatMap(({ high, booked }) => [high, booked]));
  const x = (pots: number) => (pots / most) * WIDE;
  const short = weeks.filter(({ lacks }) => lacks.length > 0);
  return (
    <>
      <table class="promises">
        <thead>
          <tr>
            <th scope="col">{words.promiseHead.week}</th>
            <td />
            <th scope="col">{words.promiseHead.booked}</th>
            <th scope="col">{words.promiseHead.safe}</th>
          </tr>
        </thead>
        <tbody>
          {weeks.map((week) => (
            <Fragment key={week.week}>
              <tr>
                <th scope="row" rowSpan={week.lacks.length > 0 ? 2 : 1} aria-label={shipWeek(week.week)}>
                  {Number(week.week.slice(-2))}
                </th>
                <td>
                  <svg width={WIDE + 4} height="18" aria-hidden="true">
                    <rect
                      class="cases"
                      x={x(week.low) + 1}
                      y="4.5"
                      width={Math.max(1, x(week.high) - x(week.low))}
                      height="9"
                    />
                    {week.booked > 0 && <rect class="booked" x={x(week.booked) - 0.5} y="1" width="3" height="16" />}
                  </svg>
                </td>
                <td>{number(week.booked)}</td>
                <td>
                  <span>{number(week.safe)}</span>
                  {week.best < week.safe && <span class="small quiet">{words.promiseBest(number(week.best))}</span>}
                </td>
              </tr>
              {week.lacks.length > 0 && (
                <tr class="lacks">
                  <td colSpan={3}>
                    {week.lacks.map((lack) => (
                      <strong key={saidLack(lack)} class="small attention">
                        {saidLack(lack)}
                      </strong>
                    ))}
                  </td>
                </tr>
              )}
            </Fragment>
          ))}
        </tbody>
      </table>
      <p class="small quiet">{words.promiseNote}</p>
      {short.length > 0 && (
        <p class="small attention">
          <Link to="/plan/weeks">{words.promiseShort(short.map(({ week }) => shipWeek(week)).join(', '))}</Link>
        </p>
      )}
    </>
  );
}
