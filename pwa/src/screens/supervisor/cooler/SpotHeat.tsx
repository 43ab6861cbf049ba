import type { Cooler, CoolerSpot } from '../../../../../schema/types';
import { DataTable } from '../../../parts/DataTable';
import { Figure } from '../../../parts/Figure';
import { dateOf, number, shortDate, temperature } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { spotName } from './coolerWords';
import { HeatPlot } from './HeatPlot';

const HOUR = 3_600_000;

/** The temperature at one spot of a cooler, since the first of its lots went in. */
export function SpotHeat({ cooler, spot }: { cooler: Cooler; spot: CoolerSpot }) {
  const words = supervisorWords.value.cooler;
  const name = spotName(spot);
  const label = words.drawing(name, shortDate(spot.from_ms), shortDate(spot.to_ms), spot.gaps.length);
  return (
    <div class="spot">
      <h4>{name}</h4>
      {spot.clashes > 0 && <p class="warning">{words.clashes(spot.clashes)}</p>}
      <Figure caption={spot.by_hand ? words.form.handNote : words.heatNote} table={() => <Days spot={spot} />}>
        <HeatPlot
          from={spot.from_ms}
          hours={spot.hours}
          band={[cooler.band_low_dc, cooler.band_high_dc]}
          label={label}
        />
      </Figure>
    </div>
  );
}

interface DayOf {
  day: string;
  low: number;
  high: number;
  read: number;
}

function Days({ spot }: { spot: CoolerSpot }) {
  const words = supervisorWords.value.cooler;
  return (
    <DataTable
      caption={words.heatTitle}
      captionUnseen
      rows={daysOf(spot)}
      keyOf={({ day }) => day}
      columns={[
        { key: 'day', title: words.day, heads: true, cell: ({ day }) => day },
        { key: 'low', title: words.lowest, numeric: true, cell: ({ low, read }) => (read > 0 ? temperature(low) : '') },
        {
          key: 'high',
          title: words.highest,
          numeric: true,
          cell: ({ high, read }) => (read > 0 ? temperature(high) : ''),
        },
        { key: 'read', title: words.hoursRead, numeric: true, cell: ({ read }) => number(read) },
      ]}
    />
  );
}

/** The newest day first. */
function daysOf(spot: CoolerSpot): DayOf[] {
  const all = new Map<string, DayOf>();
  spot.hours.forEach((hour, i) => {
    const name = dateOf(spot.from_ms + i * HOUR);
    const one = all.get(name) ?? { day: name, low: Infinity, high: -Infinity, read: 0 };
    if (hour !== null) {
      one.low = Math.min(one.low, hour.low_dc);
      one.high = Math.max(one.high, hour.high_dc);
      one.read++;
    }
    all.set(name, one);
  });
  return [...all.values()].toReversed();
}
