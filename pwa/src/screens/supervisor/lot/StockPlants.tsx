import type { CuttingsTaken, LotPlants, LotView } from '../../../../../schema/types';
import { addressOf } from '../../../forms/place';
import { DataTable } from '../../../parts/DataTable';
import { Link } from '../../../router';
import { appWords } from '../../../words';
import { day, number, stamp } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { Section } from '../Page';

/** Whose plants the lot was stuck from and what was taken of its own; nothing for a lot that neither is about. */
export function StockPlants({ view }: { view: LotView }) {
  const words = supervisorWords.value.lot.cuttings;
  const { cuttings, lot } = view;
  if (!cuttings) return null;
  const { taken, from, rate } = cuttings;
  if (!lot.stock && taken.length === 0 && from.length === 0) return null;
  const fromAll = from.reduce((sum, one) => sum + one.cuttings, 0);
  return (
    <Section title={words.title}>
      {lot.stock && <p class="gist">{words.stock}</p>}
      {from.map((one) => (
        <p key={one.entry}>
          {words.from(one.cuttings, day(one.on))}{' '}
          <Link to={`/lots/${one.lot}`}>{one.tag || appWords.value.common.unknown}</Link>.
        </p>
      ))}
      {from.length > 0 && cuttings.stuck > fromAll && <p class="attention">{words.more(cuttings.stuck, fromAll)}</p>}
      {from.length > 0 && cuttings.stuck <= fromAll && <p>{words.stuck(cuttings.stuck, fromAll)}</p>}
      {taken.length === 0 ? lot.stock && <p class="quiet">{words.none}</p> : <Taken taken={taken} />}
      {rate && (
        <p>
          {words.rate(number(rate.per_plant, 1), rate.takes)}{' '}
          {rate.plants > 0 &&
            (rate.high > rate.low
              ? words.next(rate.plants, number(rate.expected), number(rate.low), number(rate.high))
              : words.nextAlone(rate.plants, number(rate.expected), rate.takes))}{' '}
          <span class="small quiet">{words.rateNote}</span>
        </p>
      )}
      {lot.stock && (
        <p class="actions">
          <Link to={addressOf('cuttings', { lot: lot.id })} class="button plain tap">
            {words.take}
          </Link>
        </p>
      )}
    </Section>
  );
}

function Taken({ taken }: { taken: readonly CuttingsTaken[] }) {
  const words = supervisorWords.value.lot.cuttings;
  return (
    <DataTable
      caption={words.takenTitle}
      stacks
      rows={taken}
      keyOf={(one) => one.entry}
      columns={[
        {
          key: 'on',
          title: supervisorWords.value.lot.day,
          heads: true,
          by: (one) => one.on,
          cell: (one) => day(one.on),
        },
        { key: 'cuttings', title: words.takenCount, numeric: true, cell: (one) => number(one.cuttings) },
        {
          key: 'to',
          title: words.to,
          cell: (one) => <Link to={`/lots/${one.lot}`}>{one.tag || appWords.value.common.unknown}</Link>,
        },
        { key: 'stuck', title: words.stuckCount, numeric: true, cell: (one) => number(one.stuck) },
      ]}
    />
  );
}

/** The ledger in plants, where pots alone do not say how many there are or where they came from. */
export function Plants({ view }: { view: LotView }) {
  if (!view.cuttings) return null;
  const { plants, from } = view.cuttings;
  const isAsked = plants.each > 1 || from.length > 0 || view.children.some((child) => child.plants_each > plants.each);
  if (!isAsked && !plants.astray) return null;
  return (
    <>
      {isAsked && <p>{saidPlants(plants)}</p>}
      {plants.astray?.map((move) => (
        <p key={move.entry} class="attention">
          {supervisorWords.value.lot.plants.astray(stamp(move.stamp), move.plants)}
        </p>
      ))}
    </>
  );
}

function saidPlants(plants: LotPlants): string {
  const words = supervisorWords.value.lot.plants;
  const { each, here, from, out, on, recounted } = plants;
  return [
    each > 1 ? words.each(each, here) : words.here(here),
    words.came(plants.in, from),
    words.went(on, out),
    recounted === 0 ? '' : words.recounted(recounted),
  ]
    .filter(Boolean)
    .join(' ');
}
