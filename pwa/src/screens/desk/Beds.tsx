import { useMemo, useState } from 'preact/hooks';
import type { BedBrief, BedsView } from '../../../../schema/types';
import { Button } from '../../parts/Button';
import { Link } from '../../router';
import { d } from '../../words/desk';
import { when } from '../../words/format';
import { BedsTable } from './BedsTable';
import { HousePlan } from './HousePlan';
import { refresh, useView } from './load';
import { isDue, needsStep } from './names';
import { Page } from './Page';
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
      title={() => d.value.desk.overview.title}
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
  const words = d.value.desk;
  const { paired, equal, waiting, last_at: lastAt, held } = view.phones;
  if (paired === 0) return <>{words.phonesNone}</>;
  const said = [
    words.phonesState(equal, paired),
    ...(waiting > 0 ? [words.phonesWaiting(waiting)] : []),
    ...(lastAt > 0 ? [words.lastIn(when(lastAt))] : []),
  ];
  return (
    <>
      {said.join(' · ')}
      {held > 0 && <b class="attention"> · {words.held(held)}</b>}
    </>
  );
}

function Overview({ view }: { view: BedsView }) {
  const words = d.value.desk.overview;
  const [filter, setFilter] = useState(everything);
  const all = useMemo(() => view.houses.flatMap((house) => house.beds), [view]);
  const shown = new Set(all.filter((bed) => fits(bed, filter)).map((bed) => bed.id));
  if (all.length === 0) {
    return (
      <div class="empty">
        <h2>{words.emptyTitle}</h2>
        <p>{words.empty}</p>
        <Link to="/in" class="button main tap">
          {d.value.sheet.open}
        </Link>
      </div>
    );
  }
  const houses = view.houses.filter((house) => house.beds.some((bed) => shown.has(bed.id)));
  return (
    <>
      <Filters view={view} beds={all} filter={filter} onFilter={setFilter} shown={shown.size} />
      {shown.size === 0 && (
        <div class="empty">
          <p>{words.noneMatch}</p>
          <Button onClick={() => setFilter(everything)}>{words.clearFilters}</Button>
        </div>
      )}
      {houses.map((house) => (
        <HousePlan key={house.id} house={house} shown={shown} />
      ))}
      <Ramp />
      <BedsTable houses={view.houses} shown={shown} />
      <p>
        <Link to="/in" class="button plain tap">
          {d.value.sheet.open}
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

function Filters({ view, beds, filter, onFilter, shown }: FiltersProps) {
  const words = d.value.desk.overview;
  const crops = [...new Set(beds.flatMap((bed) => bed.spans.map((span) => span.crop)))].filter(Boolean).sort();
  const due = beds.filter(isDue).length;
  const step = beds.filter(needsStep).length;
  return (
    <form class="filters" onSubmit={(event) => event.preventDefault()}>
      <label>
        <span>{words.house}</span>
        <select value={filter.house} onChange={(event) => onFilter({ ...filter, house: event.currentTarget.value })}>
          <option value="">{words.everyHouse}</option>
          {view.houses.map((house) => (
            <option key={house.id} value={house.id}>
              {d.value.desk.houseName(house.name)}
            </option>
          ))}
        </select>
      </label>
      <label>
        <span>{words.crop}</span>
        <select value={filter.crop} onChange={(event) => onFilter({ ...filter, crop: event.currentTarget.value })}>
          <option value="">{words.all}</option>
          {crops.map((crop) => (
            <option key={crop} value={crop}>
              {crop}
            </option>
          ))}
        </select>
      </label>
      <label>
        <span>{words.show}</span>
        <select
          value={filter.show}
          onChange={(event) => onFilter({ ...filter, show: event.currentTarget.value as Filter['show'] })}
        >
          <option value="all">{words.everyBed}</option>
          <option value="due">{`${words.due} (${due})`}</option>
          <option value="step">{`${words.needsStep} (${step})`}</option>
        </select>
      </label>
      <output class="small quiet">{words.count(shown, beds.length)}</output>
    </form>
  );
}

function fits(bed: BedBrief, filter: Filter): boolean {
  if (filter.house !== '' && bed.house !== filter.house) return false;
  if (filter.crop !== '' && !bed.spans.some((span) => span.crop === filter.crop)) return false;
  if (filter.show === 'due') return isDue(bed);
  return filter.show === 'step' ? needsStep(bed) : true;
}
