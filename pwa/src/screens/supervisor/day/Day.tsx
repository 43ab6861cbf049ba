import { Fragment } from 'preact';
import { useRef, useState } from 'preact/hooks';
import type { DayGroup, DayLine, DayView } from '../../../../../schema/types';
import { houses } from '../../../journal/records/registers';
import { Button } from '../../../parts/Button';
import { go, Link, route } from '../../../router';
import { day as writtenDay, list, number } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { refresh, useView } from '../../../views/views';
import { Pick } from '../Filters';
import { useBedNames } from '../names';
import { Page, Section } from '../Page';
import { clockOf, dayAfter, dayName, describeLine, nameOf, timeOf, titleOf } from './dayWords';
import '../../../style/supervisor-day.css';

type By = 'person' | 'bed';

/** What of a day the address asks for; yesterday where it names none. */
interface Ask {
  day: string;
  by: By;
  person: string;
}

function asked(id: string | undefined): Ask {
  const { query } = route.value;
  return { day: id ?? '', by: query.get('by') === 'bed' ? 'bed' : 'person', person: query.get('person') ?? '' };
}

function queryOf({ by, person }: Ask): string {
  return String(new URLSearchParams({ ...(by === 'bed' && { by }), ...(person !== '' && { person }) }));
}

function addressOf(ask: Ask): string {
  const query = queryOf(ask);
  return `/days${ask.day === '' ? '' : `/${ask.day}`}${query === '' ? '' : `?${query}`}`;
}

/** What people noted on one day, over the whole nursery. */
export default function Day({ id }: { id?: string }) {
  const ask = asked(id);
  return <Asked key={addressOf(ask)} ask={ask} />;
}

/** Where a page begins, and its day: past midnight yesterday would be another. */
type Turned = Pick<DayView, 'day' | 'after'>;

function Asked({ ask }: { ask: Ask }) {
  const [turned, turn] = useState<readonly Turned[]>([]);
  const top = useRef<HTMLParagraphElement>(null);
  const after = turned.at(-1);
  const day = after?.day ?? ask.day;
  const query = [day && `day=${day}`, queryOf(ask), after && `after=${after.after}`].filter(Boolean).join('&');
  const path = query === '' ? 'day' : `day?${query}`;
  const loaded = useView<DayView>(path);
  const words = supervisorWords.value.dayPage;
  const to = (pages: readonly Turned[]) => {
    turn(pages);
    top.current?.scrollIntoView();
    top.current?.focus({ preventScroll: true });
  };
  return (
    <Page
      here="beds"
      title={(view) => (view ? titleOf(view) : words.title(ask.day === '' ? words.yesterday : writtenDay(ask.day)))}
      loaded={loaded}
      onTryAgain={() => void refresh(path)}
      above={() => <Link to="/beds">{words.toBeds}</Link>}
    >
      {(view) => (
        <div class="day">
          <Turn view={view} ask={ask} />
          <Sums view={view} ask={ask} />
          {(turned.length > 0 || view.after !== '') && (
            <p class="small quiet" ref={top} tabIndex={-1}>
              {words.page(number(turned.length + 1))}
            </p>
          )}
          <Groups view={view} />
          {(turned.length > 0 || view.after !== '') && (
            <div class="actions">
              {turned.length > 0 && <Button onClick={() => to(turned.slice(0, -1))}>{words.pageBefore}</Button>}
              {view.after !== '' && <Button onClick={() => to([...turned, view])}>{words.pageNext}</Button>}
            </div>
          )}
          <Came view={view} ask={ask} />
        </div>
      )}
    </Page>
  );
}

/** From day to day, and how a day is put together. */
function Turn({ view, ask }: { view: DayView; ask: Ask }) {
  const words = supervisorWords.value.dayPage;
  const { day: of, today } = view;
  const yesterday = dayAfter(today, -1);
  const toDay = (day: string) => addressOf({ ...ask, day });
  // A day that the two before lead to as well needs no third way.
  const quick = [
    { day: yesterday, said: words.yesterday },
    { day: today, said: words.today },
  ].filter(({ day }) => Math.abs(Date.parse(day) - Date.parse(of)) > 86_400_000);
  const change = (to: Partial<Ask>) => go(addressOf({ ...ask, day: of, ...to }), { instead: true });
  return (
    <>
      <nav class="turn" aria-label={words.days}>
        <Link to={toDay(dayAfter(of, -1))} class="button plain tap">
          ‹ {words.before}
        </Link>
        {of < today && (
          <Link to={toDay(dayAfter(of, 1))} class="button plain tap">
            {words.next} ›
          </Link>
        )}
        {quick.map(({ day, said }) => (
          <Link key={day} to={toDay(day)} class="button plain tap">
            {said}
          </Link>
        ))}
      </nav>
      <form class="filters" onSubmit={(event) => event.preventDefault()}>
        <label>
          <span>{words.choose}</span>
          <input
            type="date"
            value={of}
            max={today}
            onChange={({ currentTarget }) => currentTarget.value !== '' && go(toDay(currentTarget.value))}
          />
        </label>
        <Pick<By>
          label={words.by}
          value={ask.by}
          options={[
            { value: 'person', label: words.byPerson },
            { value: 'bed', label: words.byBed },
          ]}
          onPick={(by) => change({ by })}
        />
        {(view.people.length > 1 || ask.person !== '') && (
          <Pick
            label={words.person}
            value={ask.person}
            options={[
              { value: '', label: words.everybody },
              ...view.people.map(({ id, name }) => ({ value: id, label: name || words.noName })),
              // On another day the same person is chosen still, who may have noted nothing on it.
              ...(ask.person === '' || view.people.some(({ id }) => id === ask.person)
                ? []
                : [{ value: ask.person, label: nameOf(ask.person) }]),
            ]}
            onPick={(person) => change({ person })}
          />
        )}
        {view.groups.length > 0 && <Button onClick={() => print()}>{words.print}</Button>}
      </form>
    </>
  );
}

/** How much it was, or that there was nothing, and what may still come. */
function Sums({ view, ask }: { view: DayView; ask: Ask }) {
  const words = supervisorWords.value.dayPage;
  const said = words.sums(view.walks, view.pots, view.notes);
  const of = dayName(view.day, view.today);
  if (said === '') {
    return (
      <div class="empty">
        <p>{view.person === '' ? words.empty(of) : words.emptyOf(nameOf(view.person), of)}</p>
        <p class="small quiet">{words.pending}</p>
        <p class="actions">
          {view.person !== '' && (
            <Link to={addressOf({ ...ask, day: view.day, person: '' })} instead class="button plain tap">
              {words.all}
            </Link>
          )}
          {view.before !== '' && (
            <Link to={addressOf({ ...ask, day: view.before })} class="button plain tap">
              {words.last(dayName(view.before, view.today))}
            </Link>
          )}
        </p>
      </div>
    );
  }
  return (
    <p class="intro">
      {view.person === '' ? words.byPeople(said, view.people.length) : `${said}.`}{' '}
      {view.late > 0 && <>{words.late(view.late)} </>}
      <span class="quiet">{words.pending}</span>
    </p>
  );
}

function Groups({ view }: { view: DayView }) {
  const bedName = useBedNames();
  return (
    <>
      {view.groups.map((group) => (
        <Group key={group.person ?? group.bed ?? ''} view={view} group={group} bedName={bedName} />
      ))}
    </>
  );
}

interface GroupProps {
  view: DayView;
  group: DayGroup;
  bedName: (bed: string) => string;
}

/** What one person noted, or what was noted of one bed. */
function Group({ view, group, bedName }: GroupProps) {
  const words = supervisorWords.value.dayPage;
  const isByBed = view.by === 'bed';
  const clock = clockOf(view.zone);
  const name = isByBed ? (group.bed ? bedName(group.bed) : words.noBed) : group.person_name || words.noName;
  return (
    <section class="section">
      <h2>
        {group.bed ? <Link to={`/beds/${group.bed}`}>{name}</Link> : name}
        {group.rest && ` (${words.rest})`}
        <span class="small quiet">{words.sums(group.walks, group.pots, group.notes)}</span>
      </h2>
      <ul class="daylines">
        {group.lines.map((line) => (
          <li key={line.entry ?? `${line.walk?.walk} ${line.person}`}>
            <span class="time">{timeOf(line, clock)}</span>
            <span class="place">
              {isByBed ? line.person_name || words.noName : <Beds line={line} bedName={bedName} />}
            </span>
            <What line={line} clock={clock} />
          </li>
        ))}
      </ul>
    </section>
  );
}

/** How many beds of one note are named; the others are counted. */
const BEDS = 6;

/** The beds that a line is about, or its house. */
function Beds({ line, bedName }: { line: DayLine; bedName: (bed: string) => string }) {
  const { beds = [], house } = (line.body ?? {}) as { beds?: string[]; house?: string };
  const all = line.bed ? [line.bed] : Array.isArray(beds) ? beds : [];
  // A house whose record has not arrived here is known at the server: it is left out, not called unknown.
  if (all.length === 0) return <>{typeof house === 'string' && houses.value.get(house)?.name}</>;
  return (
    <>
      {all.slice(0, BEDS).map((bed, nth) => (
        <Fragment key={bed}>
          {nth > 0 && ' · '}
          <Link to={`/beds/${bed}`} class="nowrap">
            {bedName(bed)}
          </Link>
        </Fragment>
      ))}
      {all.length > BEDS && ` ${supervisorWords.value.dayPage.moreBeds(all.length - BEDS)}`}
    </>
  );
}

function What({ line, clock }: { line: DayLine; clock: Intl.DateTimeFormat }) {
  const { head, rest } = describeLine(line, clock);
  return (
    <span class="what">
      {line.walk && line.bed ? (
        <Link to={`/beds/${line.bed}?walk=${line.walk.walk}`}>
          <b>{head}</b>
        </Link>
      ) : (
        <b>{head}</b>
      )}
      {rest !== '' && `: ${rest}`}
      {line.tag && (
        <>
          {' · '}
          <Link to={`/lots/${line.lot}`} class="nowrap">
            {supervisorWords.value.pages.lotName(line.tag)}
          </Link>
        </>
      )}
      {line.arrived && (
        <span class="small arrived">{supervisorWords.value.dayPage.arrived(writtenDay(line.arrived))}</span>
      )}
    </span>
  );
}

/** Notes of earlier days that came in on this one: whoever read those days then has not seen them. */
function Came({ view, ask }: { view: DayView; ask: Ask }) {
  const words = supervisorWords.value.dayPage;
  if (!view.came || view.came.length === 0) return null;
  return (
    <Section title={words.came}>
      <ul>
        {view.came.map(({ day, notes, people }) => (
          <li key={day}>
            <Link to={addressOf({ ...ask, day, person: '' })}>
              {words.cameFrom(notes, dayName(day, view.today), list(people.map((name) => name || words.noName)))}
            </Link>
          </li>
        ))}
      </ul>
    </Section>
  );
}
