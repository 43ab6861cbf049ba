import type { LotBrief } from '../../../../../schema/types';
import { DataTable, type Order } from '../../../parts/DataTable';
import { Link } from '../../../router';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { day, estimate, number, points, shipWeek } from '../../../words/format';
import { potSize } from '../../../words/entry';
import { nameOfCrop } from '../../../words/names';
import { traitName, useBedNames } from '../names';

/** Lots as a table. The keys of its columns are what the server sorts by. */
export function LotsTable({ lots, order }: { lots: readonly LotBrief[]; order?: Order }) {
  const words = supervisorWords.value.lot.table;
  const nameOf = useBedNames();
  const unknown = <span class="quiet">{appWords.value.common.unknown}</span>;
  return (
    <div class="lots-table">
      <DataTable
        caption={supervisorWords.value.lot.listTitle}
        captionUnseen
        stacks
        rows={lots}
        {...(order && { order })}
        keyOf={(lot) => lot.id}
        columns={[
          {
            key: 'tag',
            title: words.tag,
            heads: true,
            whole: true,
            by: (lot) => lot.tag,
            cell: (lot) => (
              <Link to={`/lots/${lot.id}`}>
                {lot.tag || appWords.value.common.unknown}
                <span class="narrow-only"> {lot.cultivar}</span>
              </Link>
            ),
          },
          {
            key: 'cultivar',
            title: words.cultivar,
            wideOnly: true,
            by: (lot) => lot.cultivar,
            cell: (lot) => lot.cultivar || unknown,
          },
          {
            key: 'crop',
            title: words.crop,
            wideOnly: true,
            by: (lot) => nameOfCrop(lot.crop),
            cell: (lot) => nameOfCrop(lot.crop) || unknown,
          },
          {
            key: 'pot',
            title: words.pot,
            numeric: true,
            wideOnly: true,
            by: (lot) => lot.pot_mm,
            cell: (lot) => potSize(lot.pot_mm),
          },
          { key: 'beds', title: words.beds, cell: (lot) => lot.beds.map(nameOf).join('; ') },
          { key: 'pots', title: words.pots, numeric: true, by: (lot) => lot.pots, cell: (lot) => number(lot.pots) },
          {
            key: 'struck',
            title: words.struck,
            whole: true,
            wideOnly: true,
            by: (lot) => lot.struck_on,
            cell: (lot) => (lot.struck_on ? day(lot.struck_on) : unknown),
          },
          {
            key: 'uniformity',
            title: words.uniformity,
            numeric: true,
            whole: true,
            by: (lot) => (lot.uniformity.known ? lot.uniformity.value : -1),
            cell: (lot) =>
              lot.uniformity.known ? estimate(lot.uniformity, points) : appWords.value.common.notLookedAt,
          },
          {
            key: 'limitingTrait',
            title: words.limitingTrait,
            wideOnly: true,
            cell: (lot) => traitName(lot.limiting_trait),
          },
          {
            key: 'ship',
            title: words.ship,
            whole: true,
            by: (lot) => lot.ship_week,
            cell: (lot) => (lot.ship_week ? shipWeek(lot.ship_week) : unknown),
          },
          {
            key: 'open',
            title: words.open,
            numeric: true,
            by: (lot) => lot.disagree,
            cell: (lot) =>
              lot.disagree > 0 ? (
                <span class="attention">{supervisorWords.value.lot.disagreements(lot.disagree)}</span>
              ) : (
                ''
              ),
          },
        ]}
      />
    </div>
  );
}
