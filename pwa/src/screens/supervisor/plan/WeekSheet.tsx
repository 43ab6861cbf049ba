import type {
  AttentionView,
  BedBrief,
  BedsView,
  HouseView,
  SupplyView,
  TomorrowView,
} from '../../../../../schema/types';
import { refresh, useView } from '../../../views/views';
import { Button } from '../../../parts/Button';
import { Link } from '../../../router';
import { dateTime, list, number, points, shipWeek, untilWhen } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { describe } from '../beds/attentionWords';
import { FIRST } from '../beds/place';
import { saidLack, sumsOf } from '../beds/Promises';
import { shownNumber } from '../beds/Strip';
import { describeWeek, weekOf } from '../lot/weeks';
import { bedName, isClosed, isDue, whyDue } from '../names';
import { Page } from '../Page';
import { inWords } from '../Trouble';
import '../../../style/supervisor-week.css';

const WEEKS = 8;

/** One page to pin up: what needs a step, all beds, which to walk, and the ship weeks. As it is printed, so it is on the screen. */
export function WeekSheet() {
  const loaded = useView<BedsView>('beds');
  const words = supervisorWords.value.week;
  return (
    <Page
      here="plan"
      title={() => words.title(describeWeek(weekOf(Date.now())))}
      loaded={loaded}
      onTryAgain={() => void refresh('beds')}
      above={() => <Link to="/out">{supervisorWords.value.out.title}</Link>}
    >
      {(view) => <Sheet view={view} />}
    </Page>
  );
}

function Sheet({ view }: { view: BedsView }) {
  const words = supervisorWords.value.week;
  const parts = [
    useView<AttentionView>('attention'),
    useView<TomorrowView>('tomorrow'),
    useView<SupplyView>('supply'),
  ] as const;
  const [attention, tomorrow, supply] = [parts[0].view, parts[1].view, parts[2].view];
  const missing = parts.find((part) => part.view === undefined);
  const all = view.houses.flatMap((house) => house.beds);
  const byId = new Map(all.map((bed) => [bed.id, bed]));
  const handed = new Map(tomorrow?.walks.flatMap((walk) => (walk.task === '' ? [] : [[walk.bed, walk]])));
  const due = all.filter(isDue);
  // A house is often treated whole: its beds open together, and stand in one line.
  const closed = new Map<number, BedBrief[]>();
  for (const bed of all.filter(isClosed)) closed.set(bed.closed_until, [...(closed.get(bed.closed_until) ?? []), bed]);
  const weeks = supply ? sumsOf(supply.weeks).slice(0, WEEKS) : [];
  return (
    <div class="week-sheet">
      <div class="actions">
        <Button kind="main" disabled={missing !== undefined} onClick={() => print()}>
          {words.print}
        </Button>
        {missing && (
          <span role="status">
            {missing.trouble ? inWords(missing.trouble) : supervisorWords.value.pages.data.loading}
          </span>
        )}
      </div>
      <p class="gist">{words.asOf(view.site, dateTime(view.made_at))}</p>
      <section>
        <h2>{words.steps}</h2>
        {attention?.items.length === 0 && <p>{supervisorWords.value.morning.none}</p>}
        <ul class="to-tick">
          {attention?.items.slice(0, FIRST).map((item) => (
            <li key={item.id}>
              <span class="tickbox" />
              <span>{describe(item, byId.get(item.beds[0]?.bed ?? '')).head}</span>
              <span class="line" />
            </li>
          ))}
        </ul>
        {attention && attention.items.length > FIRST && (
          <p class="small">{words.more(attention.items.length - FIRST)}</p>
        )}
      </section>
      <section>
        <h2>{words.beds(all.length)}</h2>
        <p class="small">{words.bedsNote}</p>
        <div class="week-houses">
          {view.houses.map((house) => (
            <House key={house.id} house={house} />
          ))}
        </div>
      </section>
      <div class="week-foot">
        <section>
          <h2>{words.walks(due.length)}</h2>
          <table>
            <tbody>
              {due.map((bed) => (
                <tr key={bed.id}>
                  <th scope="row">{bedName(bed.name)}</th>
                  <td>{whyDue(bed)}</td>
                  <td>{handed.get(bed.id)?.person_name}</td>
                </tr>
              ))}
            </tbody>
          </table>
          {[...closed].map(([until, beds]) => (
            <p key={until} class="small">
              {words.closed(list(beds.map((bed) => bedName(bed.name))), beds.length, untilWhen(until))}
            </p>
          ))}
        </section>
        <section>
          <h2>{words.weeks}</h2>
          {supply && weeks.length === 0 && <p>{supervisorWords.value.morning.promiseNone}</p>}
          {weeks.length > 0 && (
            <table>
              <thead>
                <tr>
                  <th scope="col">{words.head.week}</th>
                  <th scope="col">{words.head.expected}</th>
                  <th scope="col">{words.head.booked}</th>
                  <th scope="col">{words.head.safe}</th>
                </tr>
              </thead>
              <tbody>
                {weeks.map(({ week, low, high, booked, safe, best, lacks }) => (
                  <tr key={week}>
                    <th scope="row">{shipWeek(week)}</th>
                    <td>{words.between(number(low), number(high))}</td>
                    <td>{number(booked)}</td>
                    <td>
                      {lacks.length > 0 && <b>{lacks.map(saidLack).join(' · ')}</b>}
                      {lacks.length > 0 && safe > 0 && ' · '}
                      {(safe > 0 || lacks.length === 0) && number(safe)}
                      {best < safe && `, ${supervisorWords.value.morning.promiseBest(number(best))}`}
                    </td>
                  </tr>
                ))}
              </tbody>
            </table>
          )}
          {weeks.length > 0 && <p class="small">{words.weeksNote}</p>}
        </section>
      </div>
    </div>
  );
}

function House({ house }: { house: HouseView }) {
  if (house.beds.length === 0) return null;
  return (
    <div class="week-house">
      <h3>{supervisorWords.value.pages.houseName(house.name)}</h3>
      <ul>
        {house.beds.map((bed) => (
          <li key={bed.id} class={isDue(bed) ? 'due' : ''}>
            <span>{bedName(bed.name)}</span>
            <b>{said(bed)}</b>
            <Bar bed={bed} />
          </li>
        ))}
      </ul>
    </div>
  );
}

function said(bed: BedBrief): string {
  const value = shownNumber(bed);
  if (value !== undefined) return points(value);
  return bed.score ? supervisorWords.value.week.few : '';
}

/** Black is the share of pots out of their lot's band. Drawn, since a printer leaves backgrounds out. */
function Bar({ bed }: { bed: BedBrief }) {
  const value = shownNumber(bed);
  return (
    <svg viewBox="0 0 100 14" width="100%" height="14" preserveAspectRatio="none" aria-hidden="true">
      <rect
        x="0.5"
        y="0.5"
        width="99"
        height="13"
        class={value === undefined ? 'open' : ''}
        vector-effect="non-scaling-stroke"
      />
      {value !== undefined && <rect x={value * 100} y="0.5" width={99.5 - value * 99.5} height="13" class="out" />}
      {isDue(bed) && <rect x="3" y="3" width="8" height="8" vector-effect="non-scaling-stroke" />}
    </svg>
  );
}
