import type { ComponentChildren } from 'preact';
import type { CooledLot, Cooler } from '../../../../../schema/types';
import { addressOf } from '../../../forms/place';
import { DataTable } from '../../../parts/DataTable';
import { Link } from '../../../router';
import { day } from '../../../words/format';
import { lotLine } from '../../../words/names';
import { supervisorWords } from '../../../words/supervisor';
import { readOf, saidDays, saidHeat, saidHours, saidOut, spotName } from './coolerWords';

/** The lots of a cooler: since when, what counts, how cold it was, and the latest day out. */
export function LotsCooled({ cooler }: { cooler: Cooler }) {
  const words = supervisorWords.value.cooler;
  const { column } = words;
  return (
    <DataTable
      caption={words.lotsIn}
      captionUnseen
      stacks
      rows={cooler.lots.toSorted((a, b) => Number(a.out !== '') - Number(b.out !== '') || a.in.localeCompare(b.in))}
      keyOf={(lot) => lot.lot}
      columns={[
        {
          key: 'lot',
          title: column.lot,
          heads: true,
          by: (lot) => lot.tag,
          cell: (lot) => <Link to={`/lots/${lot.lot}`}>{lotLine(lot)}</Link>,
        },
        {
          key: 'since',
          title: column.since,
          by: (lot) => lot.in,
          cell: (lot) => (lot.out === '' ? day(lot.in) : words.fromTo(day(lot.in), day(lot.out))),
        },
        { key: 'days', title: column.days, by: (lot) => lot.counted ?? -1, cell: (lot) => <Days lot={lot} /> },
        {
          key: 'hours',
          title: column.hours,
          cell: (lot) => <Hours lot={lot} cooler={cooler} />,
        },
        {
          key: 'heat',
          title: column.heat,
          cell: (lot) => (
            <Lines>{readOf(lot, cooler.spots).map(({ spot, hours }) => `${spotName(spot)}: ${saidHeat(hours)}`)}</Lines>
          ),
        },
        {
          key: 'out',
          title: column.out,
          by: (lot) => lot.latest50 || '~',
          cell: (lot) => <Lines>{saidOut(lot)}</Lines>,
        },
      ]}
    />
  );
}

function Days({ lot }: { lot: CooledLot }) {
  const isUnseen = lot.counted === undefined;
  const [first, ...rest] = saidDays(lot);
  return (
    <span class="lines">
      <span class={isUnseen ? 'attention' : ''}>{first}</span>
      {rest.map((said) => (
        <span key={said} class="small quiet">
          {isUnseen ? <Link to={addressOf('event', { lot: lot.lot })}>{said}</Link> : said}
        </span>
      ))}
    </span>
  );
}

function Hours({ lot, cooler }: { lot: CooledLot; cooler: Cooler }) {
  const words = supervisorWords.value.cooler;
  const read = readOf(lot, cooler.spots);
  if (read.length === 0) return <>{words.nothingRead}</>;
  return (
    <span class="lines">
      {read.map(({ spot, hours }) => {
        const [span, ...rest] = saidHours(hours, spot);
        return (
          <span key={`${spot.by_hand} ${spot.spot}`}>
            {`${spotName(spot)}: `}
            <b>{span}</b>
            <span class="small quiet block">{rest.join(', ')}</span>
          </span>
        );
      })}
      {lot.counted === undefined && <span class="small quiet">{words.uncounted}</span>}
    </span>
  );
}

function Lines({ children }: { children: readonly ComponentChildren[] }) {
  return (
    <span class="lines">
      {children.map((line, i) => (
        <span key={i}>{line}</span>
      ))}
    </span>
  );
}
