import type { HourRange } from '../../../../../schema/types';
import { DataTable } from '../../../parts/DataTable';
import { dateTime, number, temperature } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { rounded } from './coolerWords';
import { HeatPlot } from './HeatPlot';
import type { Reading, Value } from './logger';

const HOUR = 3_600_000;
const SOME = 4;
/** So much of a line is shown. */
export const SAID = 60;

/** What is in a logger's file: from when to when, its gaps, what was left out, and how it runs. */
export function LoggerPreview({ reading }: { reading: Reading }) {
  const words = supervisorWords.value.logger.preview;
  const { values, every } = reading;
  const [first, last] = [values[0] as Value, values.at(-1) as Value];
  const [low, high, sum] = values.reduce(
    ([least, most, all], [, dc]) => [Math.min(least, dc), Math.max(most, dc), all + dc],
    [Infinity, -Infinity, 0],
  );
  const gaps = gapsOf(values, every);
  const longest = gaps.reduce((found, gap) => (gap.long > found.long ? gap : found), { at: 0, long: 0 });
  const total = gaps.reduce((all, gap) => all + gap.long, 0);
  const step = every < 60 ? words.seconds(number(every)) : words.minutes(number(every / 60, every % 60 === 0 ? 0 : 1));
  const hours = hoursOf(values, every);
  return (
    <div>
      <h3>{words.title}</h3>
      <p role="status">{words.sum(values.length, dateTime(first[0]), dateTime(last[0]), step)}</p>
      <p>{words.heat(temperature(low), temperature(high), temperature(sum / values.length))}</p>
      <p>
        {gaps.length === 0
          ? words.noGap
          : words.gaps(gaps.length, rounded(total), rounded(longest.long), dateTime(longest.at))}
      </p>
      {reading.empty > 0 && <p class="stale">{words.empty(reading.empty, reading.firstEmpty)}</p>}
      {reading.twice > 0 && <p class="stale">{words.twice(reading.twice)}</p>}
      {reading.after && (
        <p class="stale">{words.after(reading.after.count, reading.after.line, reading.after.said.slice(0, SAID))}</p>
      )}
      <HeatPlot from={first[0]} hours={hours} label={words.title} />
      <DataTable
        caption={words.some}
        rows={values.length <= 2 * SOME ? values : [...values.slice(0, SOME), ...values.slice(-SOME)]}
        keyOf={([at]) => String(at)}
        columns={[
          { key: 'at', title: words.time, heads: true, cell: ([at]) => dateTime(at) },
          { key: 'dc', title: words.temp, numeric: true, cell: ([, dc]) => temperature(dc) },
        ]}
      />
    </div>
  );
}

/** As the server counts them: a value holds until the next within two steps, else for one. Hours. */
function gapsOf(values: readonly Value[], every: number): { at: number; long: number }[] {
  const step = every * 1000;
  const gaps: { at: number; long: number }[] = [];
  let before = Infinity;
  for (const [at] of values) {
    if (at - before > 2 * step) gaps.push({ at: before + step, long: (at - before - step) / HOUR });
    before = at;
  }
  return gaps;
}

function hoursOf(values: readonly Value[], every: number): (HourRange | null)[] {
  const from = values[0]?.[0] ?? 0;
  const step = every * 1000;
  const hours: (HourRange | null)[] = [];
  for (const [i, [at, dc]] of values.entries()) {
    const next = values[i + 1]?.[0] ?? at + step;
    const until = next - at <= 2 * step ? next : at + step;
    for (let hour = Math.floor((at - from) / HOUR); from + hour * HOUR < until; hour++) {
      while (hours.length <= hour) hours.push(null);
      const one = hours[hour];
      if (!one) hours[hour] = { low_dc: dc, high_dc: dc };
      else if (dc < one.low_dc) one.low_dc = dc;
      else if (dc > one.high_dc) one.high_dc = dc;
    }
  }
  return hours;
}
