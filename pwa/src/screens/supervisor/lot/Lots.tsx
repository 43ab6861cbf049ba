import { useState } from 'preact/hooks';
import type { LotBrief } from '../../../../../schema/types';
import { cropKey } from '../../../../../sync/bed/crop';
import { DataTable } from '../../../parts/DataTable';
import { Link } from '../../../router';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { day, estimate, number, points, shipWeek } from '../../../words/format';
import { potSize } from '../../../words/entry';
import { cropsOf, Filters, NoneMatch, Pick } from '../Filters';
import { refresh, useView } from '../../../views/views';
import { traitName, useBedNames } from '../names';
import { Page } from '../Page';

const PATH = 'lots';

interface Filter {
  search: string;
  crop: string;
  disagree: boolean;
}

const everything: Filter = { search: '', crop: '', disagree: false };

/** Every lot, to find one by its tag. */
export default function Lots() {
  const loaded = useView<LotBrief[]>(PATH);
  return (
    <Page
      here="lots"
      title={() => supervisorWords.value.lot.listTitle}
      loaded={loaded}
      onTryAgain={() => void refresh(PATH)}
    >
      {(lots) => <List lots={lots} />}
    </Page>
  );
}

function List({ lots }: { lots: readonly LotBrief[] }) {
  const words = supervisorWords.value.lot;
  const [filter, setFilter] = useState(everything);
  const wanted = filter.search.trim().toLowerCase();
  const shown = lots.filter(
    (lot) =>
      (filter.crop === '' || cropKey(lot.crop) === filter.crop) &&
      (!filter.disagree || lot.disagree > 0) &&
      `${lot.tag} ${lot.cultivar}`.toLowerCase().includes(wanted),
  );
  if (lots.length === 0) {
    return (
      <div class="empty">
        <h2>{words.listEmptyTitle}</h2>
        <p>{words.listEmpty}</p>
      </div>
    );
  }
  return (
    <>
      <p>
        <Link to="/tags">{words.tagSheets}</Link>
      </p>
      <Filters count={words.listCount(shown.length, lots.length)}>
        <label>
          <span>{words.search}</span>
          <input
            type="search"
            value={filter.search}
            onInput={(event) => setFilter({ ...filter, search: event.currentTarget.value })}
          />
        </label>
        <Pick
          label={words.crop}
          options={cropsOf(
            lots.map((lot) => lot.crop),
            words.all,
          )}
          value={filter.crop}
          onPick={(crop) => setFilter({ ...filter, crop })}
        />
        <label class="tick">
          <input
            type="checkbox"
            checked={filter.disagree}
            onChange={(event) => setFilter({ ...filter, disagree: event.currentTarget.checked })}
          />
          <span>{words.onlyDisagree}</span>
        </label>
      </Filters>
      {shown.length === 0 ? (
        <NoneMatch said={words.noneMatch} clear={appWords.value.common.clear} onClear={() => setFilter(everything)} />
      ) : (
        <LotsTable lots={shown} />
      )}
    </>
  );
}

function LotsTable({ lots }: { lots: readonly LotBrief[] }) {
  const words = supervisorWords.value.lot.table;
  const nameOf = useBedNames();
  const unknown = <span class="quiet">{appWords.value.common.unknown}</span>;
  return (
    <DataTable
      caption={supervisorWords.value.lot.listTitle}
      captionUnseen
      stacks
      rows={lots}
      keyOf={(lot) => lot.id}
      columns={[
        {
          key: 'tag',
          title: words.tag,
          heads: true,
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
        { key: 'crop', title: words.crop, wideOnly: true, by: (lot) => lot.crop, cell: (lot) => lot.crop || unknown },
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
          wideOnly: true,
          by: (lot) => lot.struck_on,
          cell: (lot) => (lot.struck_on ? day(lot.struck_on) : unknown),
        },
        {
          key: 'uniformity',
          title: words.uniformity,
          numeric: true,
          by: (lot) => (lot.uniformity.known ? lot.uniformity.value : -1),
          cell: (lot) => (lot.uniformity.known ? estimate(lot.uniformity, points) : appWords.value.common.notLookedAt),
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
  );
}
