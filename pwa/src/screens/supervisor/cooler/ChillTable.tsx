import type { ColdHours, CooledLot, Cooler, CoolerSpot } from '../../../../../schema/types';
import { DataTable } from '../../../parts/DataTable';
import { number } from '../../../words/format';
import { lotLine } from '../../../words/names';
import { supervisorWords } from '../../../words/supervisor';
import { spotName } from './coolerWords';

interface Row {
  lot: CooledLot;
  spot: CoolerSpot;
  hours: ColdHours;
}

/** What models for other crops make of the same hours, folded away under their caution. */
export function ChillTable({ cooler }: { cooler: Cooler }) {
  const words = supervisorWords.value.cooler;
  const { chill } = words;
  const rows = cooler.lots.flatMap((lot) =>
    cooler.spots.flatMap((spot, i): Row[] => {
      const hours = lot.spots[i];
      return hours && hours.chill.hours > 0 ? [{ lot, spot, hours }] : [];
    }),
  );
  if (rows.length === 0) return null;
  const column = (key: string, title: string, value: (row: Row) => string) => ({
    key,
    title,
    numeric: true,
    cell: value,
  });
  return (
    <details class="rests">
      <summary>{words.chillTitle}</summary>
      <p class="warning">{words.chillNote}</p>
      <DataTable
        caption={words.chillTitle}
        captionUnseen
        stacks
        rows={rows}
        keyOf={({ lot, spot }) => `${lot.lot} ${spot.by_hand} ${spot.spot}`}
        columns={[
          {
            key: 'lot',
            title: chill.lot,
            heads: true,
            cell: ({ lot, spot }) => `${lotLine(lot)}, ${spotName(spot)}`,
          },
          column('hours', chill.hours, ({ hours }) => number(hours.chill.hours)),
          column('missing', chill.missing, ({ hours }) => number(hours.chill.missing)),
          column('upTo', chill.upTo, ({ hours }) => number(hours.chill.up_to_72)),
          column('from0', chill.from0, ({ hours }) => number(hours.chill.from0_to_72)),
          column('utah', chill.utah, ({ hours }) => number(hours.chill.utah, 1)),
          column('positive', chill.positive, ({ hours }) => number(hours.chill.utah_positive, 1)),
          column('carolina', chill.carolina, ({ hours }) => number(hours.chill.north_carolina, 1)),
          column('portions', chill.portions, ({ hours }) =>
            [number(hours.chill.portions, 1), chill.restarts(hours.chill.restarts)].filter(Boolean).join(', '),
          ),
        ]}
      />
    </details>
  );
}
