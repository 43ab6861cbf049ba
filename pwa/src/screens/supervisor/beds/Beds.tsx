import { useMemo } from 'preact/hooks';
import type { AttentionView, BedBrief, BedsView, HouseView, PlanView, SupplyView } from '../../../../../schema/types';
import { go, Link, route } from '../../../router';
import { supervisorWords } from '../../../words/supervisor';
import { atWhen, shipWeek } from '../../../words/format';
import { useMedia } from '../../../parts/width';
import { BedsTable } from './BedsTable';
import { CropPick, Filters, NoneMatch, Pick } from '../Filters';
import { FirstSteps } from '../setup/FirstSteps';
import { HouseFolds, nameAndNumber, worstFirst } from './HouseFolds';
import { HousePlan, longestOf } from './HousePlan';
import { shownNumber } from './Strip';
import { refresh, useView } from '../../../views/views';
import { isDue, traitName } from '../names';
import { describe, isOfBed, type FindingGroup } from './attentionWords';
import { NeedsYou } from './NeedsYou';
import { ToWeekSheet } from '../plan/Parts';
import { Page } from '../Page';
import {
  addressOf,
  anywhere,
  fits,
  marksOf,
  placeOf,
  stagesOfBeds,
  toBed,
  weeksOfBeds,
  type Place,
  type Show,
  type ViewOf,
} from './place';
import { stageNames, type StageName } from '../crops/stages';
import { Promises } from './Promises';
import { Ramp } from './Ramp';
import { usePutAway } from './putAway';
import '../../../style/supervisor-morning.css';

const PATH = 'beds';

/** From so many beds on a house is a line that opens; on a phone always. */
const FOLDS_FROM = 61;

/** The morning screen: what needs doing, all beds at once, and the ship weeks. */
export default function Beds() {
  const loaded = useView<BedsView>(PATH);
  return (
    <Page
      here="beds"
      title={() => supervisorWords.value.pages.overview.title}
      loaded={loaded}
      onTryAgain={() => void refresh(PATH)}
      state={(view) => <PhonesState view={view} />}
    >
      {(view) => <Overview view={view} />}
    </Page>
  );
}

function PhonesState({ view }: { view: BedsView }) {
  const words = supervisorWords.value.pages;
  const { paired, equal, pending, last_at: lastAt } = view.phones;
  if (paired === 0) return <>{words.phonesNone}</>;
  return (
    <>
      {pending > 0 ? words.onPhones(pending) : words.phonesState(equal, paired)}
      <span class="more">
        {pending > 0 && ` · ${words.phonesState(equal, paired)}`}
        {lastAt > 0 && ` · ${words.lastIn(atWhen(lastAt))}`}
      </span>
    </>
  );
}

function Overview({ view }: { view: BedsView }) {
  const words = supervisorWords.value.pages.overview;
  if (view.houses.every((house) => house.beds.length === 0)) {
    return (
      <>
        <div class="empty">
          <h2>{words.emptyTitle}</h2>
          <p>{words.empty}</p>
        </div>
        <FirstSteps view={view} />
      </>
    );
  }
  return (
    <>
      <FirstSteps view={view} />
      <Morning view={view} />
    </>
  );
}

function Morning({ view }: { view: BedsView }) {
  const words = supervisorWords.value.morning;
  const attention = useView<AttentionView>('attention').view;
  const supply = useView<SupplyView>('supply').view;
  const { items, put } = usePutAway(attention);
  const place = placeOf(route.value.query);
  const all = useMemo(() => view.houses.flatMap((house) => house.beds), [view]);
  const beds = useMemo(() => new Map(all.map((bed) => [bed.id, bed])), [all]);
  const weeks = useMemo(() => weeksOfBeds(all, supply), [all, supply]);
  const plan = useView<PlanView>(place.stage === '' ? undefined : 'plan').view;
  const stages = useMemo(() => stagesOfBeds(all, plan), [all, plan]);
  const { ranks, groups } = useMemo(() => marksOf(items, place.all), [items, place.all]);
  const shown = new Set(all.filter((bed) => fits(bed, place, { weeks, stages, groups })).map(({ id }) => id));
  const due = all.filter(isDue).length;
  const walking = all.filter((bed) => bed.under_way !== undefined).length;
  // Where the table takes the page's whole width, what needs a supervisor comes after it.
  const tableFirst = useMedia('(max-width: 80rem)') && place.view === 'table';
  const part = (show: Show, said: string) => (
    <Link
      to={addressOf({
        ...anywhere,
        view: place.view,
        all: place.all,
        show: place.show === show ? '' : show,
        part: show === 'step' ? '' : 'plan',
      })}
      instead
      aria-current={place.show === show ? 'page' : undefined}
    >
      {said}
    </Link>
  );
  const needs = attention ? (
    <NeedsYou
      view={attention}
      items={items}
      beds={beds}
      all={place.all}
      toAll={addressOf({ ...place, all: !place.all })}
      onPutAway={put}
    />
  ) : (
    // Its place is kept, or the beds would move under a finger when the list comes.
    <section class="needs">
      <h2>{words.title}</h2>
      <p class="quiet">{words.arriving}</p>
    </section>
  );
  return (
    <div class="morning" data-part={place.part} data-view={place.view}>
      <p class="sentence">
        {attention && <span>{part('step', words.needs(items.length))},</span>}{' '}
        <span>{part('due', words.due(due))},</span> <span>{part('walking', words.walking(walking))}.</span>{' '}
        <span class="off-paper">
          <Link to="/days">{supervisorWords.value.dayPage.toYesterday}</Link>
        </span>
      </p>
      {!tableFirst && needs}
      <section class="plan" id="plan">
        <Head place={place} view={view} beds={all} shown={shown.size} weeks={weeks} groups={groups} />
        {place.view === 'plan' && <Worst items={items} beds={all.filter((bed) => shown.has(bed.id))} />}
        {place.stage !== '' && !plan && <p role="status">{supervisorWords.value.pages.data.loading}</p>}
        {shown.size === 0 && (place.stage === '' || plan) && (
          <NoneMatch
            said={supervisorWords.value.pages.overview.noneMatch}
            clear={supervisorWords.value.pages.overview.clearFilters}
            onClear={() => go(addressOf({ ...anywhere, view: place.view, part: place.part }), { instead: true })}
          />
        )}
        <Drawn place={place} houses={view.houses} shown={shown} ranks={ranks} weeks={weeks} />
        <p>
          <Link to="/in" class="button plain tap">
            {supervisorWords.value.sheet.open}
          </Link>
        </p>
      </section>
      {tableFirst && needs}
      <aside class="weeksaside" aria-labelledby="promise-title">
        <p class="actions">
          <Link to="/plan/tomorrow" class="button plain tap">
            {words.tomorrow}
          </Link>
          <ToWeekSheet />
        </p>
        <h2 id="promise-title">{words.promise}</h2>
        {supply && <Promises view={supply} />}
      </aside>
    </div>
  );
}

/**
 * The two ways in which a bed of those that are shown can be the worst: by what was found on it, as the list ranks it, and by how even it is,
 * with what holds it back.
 */
function Worst({ items, beds }: { items: AttentionView['items']; beds: readonly BedBrief[] }) {
  const words = supervisorWords.value.morning;
  const least = worstFirst(beds.filter((bed) => shownNumber(bed) !== undefined)).slice(0, 3);
  if (least.length < 3) return null;
  const bedOf = (item: AttentionView['items'][number]) => beds.find(({ id }) => id === item.beds[0]?.bed);
  const urgent = items.find((item) => isOfBed(item) && bedOf(item));
  const urgentBed = urgent && bedOf(urgent);
  return (
    <p class="least">
      {urgent && urgentBed && (
        <span class="urgent">
          {words.urgent} <Link to={toBed(urgentBed.id)}>{describe(urgent, urgentBed).head}</Link>
        </span>
      )}
      {words.least}{' '}
      {least.map((bed, nth) => (
        <span key={bed.id}>
          {nth > 0 && ', '}
          <Link to={toBed(bed.id)}>{nameAndNumber(bed)}</Link>
          {bed.score?.limiting_trait && <span class="quiet"> ({traitName(bed.score.limiting_trait)})</span>}
        </span>
      ))}
    </p>
  );
}

interface HeadProps {
  place: Place;
  view: BedsView;
  beds: readonly BedBrief[];
  shown: number;
  weeks: ReadonlyMap<string, string[]>;
  groups: ReadonlyMap<string, ReadonlySet<FindingGroup>>;
}

function Head({ place, view, beds, shown, weeks, groups }: HeadProps) {
  const words = supervisorWords.value.pages.overview;
  const { morning } = supervisorWords.value;
  const change = (to: Partial<Place>) => go(addressOf({ ...place, ...to }), { instead: true });
  const known = [...new Set([...groups.values()].flatMap((each) => [...each]))].filter((each) => each !== '');
  const shipWeeks = [...new Set([...weeks.values()].flat())].sort();
  const named: { value: ViewOf; label: string }[] = [
    { value: 'plan', label: morning.plan },
    { value: 'table', label: morning.table },
    { value: 'weeks', label: morning.weeks },
  ];
  return (
    <>
      <header class="planhead">
        <h2>{words.count(shown, beds.length)}</h2>
        <span class="small quiet">{morning.bedsNote}</span>
        <nav class="switch" aria-label={morning.view}>
          {named.map(({ value, label }) => (
            <Link
              key={value}
              to={addressOf({ ...place, view: value })}
              instead
              aria-current={place.view === value ? 'page' : undefined}
            >
              {label}
            </Link>
          ))}
        </nav>
      </header>
      <Filters count="">
        <Pick
          label={words.house}
          options={[
            { value: '', label: words.everyHouse },
            ...view.houses.map(({ id, name }) => ({ value: id, label: supervisorWords.value.pages.houseName(name) })),
          ]}
          value={place.house}
          onPick={(house) => change({ house })}
        />
        <CropPick
          crops={beds.flatMap((bed) => bed.spans.map((span) => span.crop))}
          value={place.crop}
          onPick={(crop) => change({ crop })}
        />
        <Pick<StageName | ''>
          label={morning.stage}
          options={[
            { value: '', label: words.all },
            ...stageNames.map((value) => ({ value, label: supervisorWords.value.plan.stage[value] })),
          ]}
          value={place.stage}
          onPick={(stage) => change({ stage })}
        />
        <Pick
          label={morning.weeks}
          options={[{ value: '', label: words.all }, ...shipWeeks.map((value) => ({ value, label: shipWeek(value) }))]}
          value={place.week}
          onPick={(week) => change({ week })}
        />
        <Pick<FindingGroup>
          label={morning.finding}
          options={[
            { value: '', label: morning.anyFinding },
            ...known.map((value) => ({ value, label: morning.findings[value as Exclude<FindingGroup, ''>] })),
          ]}
          value={place.finding}
          onPick={(finding) => change({ finding })}
        />
        <Pick<Show>
          label={words.show}
          options={[
            { value: '', label: words.everyBed },
            { value: 'due', label: words.due },
            { value: 'step', label: words.needsStep },
            { value: 'walking', label: morning.walkingOnly },
          ]}
          value={place.show}
          onPick={(show) => change({ show })}
        />
      </Filters>
    </>
  );
}

interface DrawnProps {
  place: Place;
  houses: readonly HouseView[];
  shown: ReadonlySet<string>;
  ranks: ReadonlyMap<string, number>;
  weeks: ReadonlyMap<string, string[]>;
}

function Drawn({ place, houses, shown, ranks, weeks }: DrawnProps) {
  const words = supervisorWords.value;
  const isPhone = useMedia('(max-width: 40rem)');
  const drawn = houses
    .map((house) => ({ house, beds: house.beds.filter((bed) => shown.has(bed.id)) }))
    .filter(({ beds }) => beds.length > 0);
  const all = drawn.flatMap(({ beds }) => beds);
  const longest = longestOf(all);
  if (place.view === 'table') return <BedsTable houses={houses} shown={shown} />;
  if (place.view === 'weeks') {
    const named = [...new Set(all.flatMap((bed) => weeks.get(bed.id) ?? []))].sort();
    const without = all.filter((bed) => (weeks.get(bed.id) ?? []).length === 0);
    return (
      <>
        {named.map((week) => {
          const beds = all.filter((bed) => weeks.get(bed.id)?.includes(week));
          return <HousePlan key={week} name={shipWeek(week)} beds={beds} ranks={ranks} longest={longest} />;
        })}
        {without.length > 0 && <HousePlan name={words.morning.noWeek} beds={without} ranks={ranks} longest={longest} />}
        <Ramp beds={all} />
      </>
    );
  }
  if (isPhone || houses.flatMap(({ beds }) => beds).length >= FOLDS_FROM) {
    return <HouseFolds houses={drawn} ranks={ranks} place={place} />;
  }
  return (
    <>
      {drawn.map(({ house, beds }) => (
        <HousePlan
          key={house.id}
          name={words.pages.houseName(house.name)}
          note={house.note}
          beds={beds}
          ranks={ranks}
          longest={longest}
        />
      ))}
      <Ramp beds={all} />
    </>
  );
}
