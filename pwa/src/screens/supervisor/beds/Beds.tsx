import { useMemo, useState } from 'preact/hooks';
import type { BedBrief, BedsView } from '../../../../../schema/types';
import { cropKey } from '../../../../../sync/bed/crop';
import { Link } from '../../../router';
import { supervisorWords } from '../../../words/supervisor';
import { atWhen } from '../../../words/format';
import { BedsTable } from './BedsTable';
import { CropPick, Filters, NoneMatch, Pick } from '../Filters';
import { HousePlan } from './HousePlan';
import { refresh, useView } from '../../../views/views';
import { isDue, needsStep } from '../names';
import { Page } from '../Page';
import { Ramp } from './Ramp';
import { Since } from './Since';

const PATH = 'beds';

interface Filter {
  house: string;
  crop: string;
  show: 'all' | 'due' | 'step';
}

const everything: Filter = { house: '', crop: '', show: 'all' };

/** The whole nursery from above. */
export default function Beds() {
  const loaded = useView<BedsView>(PATH);
  return (
    <Page
      here="beds"
      title={() => supervisorWords.value.pages.overview.title}
      loaded={loaded}
      onTryAgain={() => void refresh(PATH)}
      state={(view) => <PhonesState view={view} />}
      aside={(view) => <Since view={view} />}
    >
      {(view) => <Overview view={view} />}
    </Page>
  );
}

function PhonesState({ view }: { view: BedsView }) {
  const words = supervisorWords.value.pages;
  const { paired, equal, pending, last_at: lastAt, quarantined } = view.phones;
  if (paired === 0) return <>{words.phonesNone}</>;
  const said = [
    words.phonesState(equal, paired),
    ...(pending > 0 ? [words.onPhones(pending)] : []),
    ...(lastAt > 0 ? [words.lastIn(atWhen(lastAt))] : []),
  ];
  return (
    <>
      {said.join(' · ')}
      {quarantined > 0 && <b class="attention"> · {words.quarantined(quarantined)}</b>}
    </>
  );
}

function Overview({ view }: { view: BedsView }) {
  const words = supervisorWords.value.pages.overview;
  const [filter, setFilter] = useState(everything);
  const all = useMemo(() => view.houses.flatMap((house) => house.beds), [view]);
  const shown = new Set(all.filter((bed) => fits(bed, filter)).map((bed) => bed.id));
  if (all.length === 0) {
    return (
      <div class="empty">
        <h2>{words.emptyTitle}</h2>
        <p>{words.empty}</p>
        <Link to="/in" class="button main tap">
          {supervisorWords.value.sheet.open}
        </Link>
      </div>
    );
  }
  const houses = view.houses.filter((house) => house.beds.some((bed) => shown.has(bed.id)));
  return (
    <>
      <BedFilters view={view} beds={all} filter={filter} onFilter={setFilter} shown={shown.size} />
      {shown.size === 0 && (
        <NoneMatch said={words.noneMatch} clear={words.clearFilters} onClear={() => setFilter(everything)} />
      )}
      {houses.map((house) => (
        <HousePlan key={house.id} house={house} shown={shown} />
      ))}
      <Ramp />
      <BedsTable houses={view.houses} shown={shown} />
      <p>
        <Link to="/in" class="button plain tap">
          {supervisorWords.value.sheet.open}
        </Link>
      </p>
    </>
  );
}

interface FiltersProps {
  view: BedsView;
  beds: readonly BedBrief[];
  filter: Filter;
  onFilter: (filter: Filter) => void;
  shown: number;
}

function BedFilters({ view, beds, filter, onFilter, shown }: FiltersProps) {
  const words = supervisorWords.value.pages.overview;
  const due = beds.filter(isDue).length;
  const step = beds.filter(needsStep).length;
  const houses = view.houses.map((house) => ({
    value: house.id,
    label: supervisorWords.value.pages.houseName(house.name),
  }));
  return (
    <Filters count={words.count(shown, beds.length)}>
      <Pick
        label={words.house}
        options={[{ value: '', label: words.everyHouse }, ...houses]}
        value={filter.house}
        onPick={(house) => onFilter({ ...filter, house })}
      />
      <CropPick
        crops={beds.flatMap((bed) => bed.spans.map((span) => span.crop))}
        value={filter.crop}
        onPick={(crop) => onFilter({ ...filter, crop })}
      />
      <Pick<Filter['show']>
        label={words.show}
        options={[
          { value: 'all', label: words.everyBed },
          { value: 'due', label: `${words.due} (${due})` },
          { value: 'step', label: `${words.needsStep} (${step})` },
        ]}
        value={filter.show}
        onPick={(show) => onFilter({ ...filter, show })}
      />
    </Filters>
  );
}

function fits(bed: BedBrief, filter: Filter): boolean {
  if (filter.house !== '' && bed.house !== filter.house) return false;
  if (filter.crop !== '' && !bed.spans.some((span) => cropKey(span.crop) === filter.crop)) return false;
  if (filter.show === 'due') return isDue(bed);
  return filter.show === 'step' ? needsStep(bed) : true;
}
