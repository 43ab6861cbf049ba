import { Fragment } from 'preact';
import { useState } from 'preact/hooks';
import type { ClosedBooking, SupplyView, SupplyWeek } from '../../../../../schema/types';
import { cropKey } from '../../../../../sync/bed/crop';
import { DataTable } from '../../../parts/DataTable';
import { Link } from '../../../router';
import { appWords } from '../../../words';
import { potSize } from '../../../words/entry';
import { list, number, shipWeek } from '../../../words/format';
import { lotLine, nameOfCrop } from '../../../words/names';
import { supervisorWords } from '../../../words/supervisor';
import { halfBecomes } from '../crops/cropvalues';
import { CropPick, Filters, NoneMatch, Tick } from '../Filters';
import { tenths } from '../lot/planWords';
import { saidHolidays } from '../lot/weeks';
import { Part, ToWeekSheet } from './Parts';
import { Booked, BookingsIn, EnterBooking, TryLot, Unmet } from './WeekBookings';
import {
  bookedUpTo,
  knownLots,
  nameOf,
  riskOf,
  saidBooked,
  saidClosed,
  saidCultivar,
  saidLot,
  saidSafe,
  saidShort,
  saidSure,
  worstShort,
} from './supplyWords';

/** What each ship week will have against what is booked of it. */
export function Weeks() {
  return (
    <Part<SupplyView> here="weeks" path="supply" title={() => supervisorWords.value.supply.title}>
      {(view) => <All view={view} />}
    </Part>
  );
}

const everything = { crop: '', over: false };

function All({ view }: { view: SupplyView }) {
  const words = supervisorWords.value.supply;
  const [filter, setFilter] = useState(everything);
  const shown = view.weeks.filter(
    (week) => (filter.crop === '' || cropKey(week.crop) === filter.crop) && (!filter.over || week.missing > 0),
  );
  return (
    <>
      {view.weeks.length === 0 ? <p>{words.empty}</p> : <p class="intro">{words.intro}</p>}
      <p class="actions">
        <EnterBooking id="" label={supervisorWords.value.promise.enter} />
        <BookingsIn />
        <ToWeekSheet />
      </p>
      {view.weeks.length > 0 && (
        <>
          <Filters count={words.count(shown.length, shown.filter((week) => week.missing > 0).length)}>
            <CropPick
              crops={view.weeks.map((week) => week.crop)}
              value={filter.crop}
              onPick={(crop) => setFilter({ ...filter, crop })}
            />
            <Tick label={words.overOnly} checked={filter.over} onTick={(over) => setFilter({ ...filter, over })} />
          </Filters>
          {shown.length === 0 ? (
            <NoneMatch
              said={words.noneMatch}
              clear={appWords.value.common.clear}
              onClear={() => setFilter(everything)}
            />
          ) : (
            <Lines weeks={shown} />
          )}
          <p class="intro small quiet">{words.differs}</p>
          <p class="intro small quiet">
            {words.assumes(
              list(
                [...new Set(view.weeks.map(({ season }) => appWords.value.common.to(...halfBecomes(season))))].sort(),
              ),
            )}
          </p>
        </>
      )}
      {view.unplaced.length > 0 && (
        <section>
          <h2>{words.unplacedTitle}</h2>
          <p class="intro">{words.unplaced}</p>
          <Booked bookings={view.unplaced} />
        </section>
      )}
      {view.closed && view.closed.length > 0 && <Closed bookings={view.closed} />}
    </>
  );
}

/** Bookings that name no lot and are cancelled or shipped in full: they are on no lot's page. */
function Closed({ bookings: all }: { bookings: readonly ClosedBooking[] }) {
  const words = supervisorWords.value.supply;
  const { change, states } = supervisorWords.value.promise;
  return (
    <details class="shipweek">
      <summary>{words.closedTitle(all.length)}</summary>
      <ul>
        {all.map((booking) => (
          <li key={booking.id}>
            {saidClosed(booking)} {booking.cancelled ? states.cancelled : states.shipped}{' '}
            <EnterBooking id={booking.id} label={change} />
          </li>
        ))}
      </ul>
    </details>
  );
}

const risks = ['over', 'likely', 'may'] as const;

/** A line for each week, those with bookings that are not sure first and open, the worst of them at the top. */
function Lines({ weeks }: { weeks: readonly SupplyWeek[] }) {
  const words = supervisorWords.value.supply;
  const groups = [
    ...risks.map((risk) => ({ title: words.risk[risk], of: weeks.filter((week) => riskOf(week) === risk) })),
    { title: words.line.others, of: weeks.filter((week) => riskOf(week) === undefined) },
  ].filter(({ of }) => of.length > 0);
  return (
    <div class="shipweeks">
      <p class="weekline heads small quiet" aria-hidden="true">
        <span>{words.line.week}</span>
        <span>{words.line.expected}</span>
        <span>{words.table.booked}</span>
        <span>{words.table.safe}</span>
        <span>{words.table.short}</span>
      </p>
      {groups.map(({ title, of }) => (
        <Fragment key={title}>
          {(groups.length > 1 || title !== words.line.others) && <h2>{title}</h2>}
          {of.map(asWeek)}
        </Fragment>
      ))}
    </div>
  );
}

function asWeek(week: SupplyWeek) {
  return <Week key={`${week.week} ${week.crop} ${week.pot_mm}`} week={week} />;
}

function Week({ week }: { week: SupplyWeek }) {
  const words = supervisorWords.value.supply;
  const name = words.kind(shipWeek(week.week), nameOfCrop(week.crop), potSize(week.pot_mm));
  const unmet = week.bookings.filter((booking) => booking.missing > 0);
  const all = week.grades.at(-1);
  return (
    <details class="shipweek" open={week.missing > 0}>
      <summary>
        <Line week={week} />
      </summary>
      {week.undecided > 0 && <p>{words.undecided(week.undecided)}</p>}
      <Unmet bookings={unmet} />
      {unmet.length > 0 && all && all.safe > 0 && knownLots(week) > 0 && <p class="small quiet">{words.beside}</p>}
      {/* Of a week that is open by itself what is wrong stands alone; whoever opens another wants all of it. */}
      <details open={week.missing === 0}>
        <summary>{words.open(week.lots.length, week.bookings.length)}</summary>
        {week.lots.length > 0 && <p class="small quiet">{words.lotsKnown(knownLots(week), week.lots.length)}</p>}
        {week.grades.length === 0 ? <p>{words.noGrades}</p> : <Grades week={week} name={name} />}
        {week.bookings.length > unmet.length && (
          <>
            <h3>{words.bookingsTitle}</h3>
            <Booked bookings={week.bookings.filter((booking) => booking.missing === 0)} />
          </>
        )}
        {week.cultivars && week.cultivars.length > 0 && (
          <>
            <h3>{words.cultivarsTitle}</h3>
            <ul class="small">
              {week.cultivars.map((each) => (
                <li key={each.cultivar}>{saidCultivar(each, week.grades)}</li>
              ))}
            </ul>
          </>
        )}
        {knownLots(week) > 0 && (
          <>
            <h3>{words.sureTitle}</h3>
            <ul class="small">
              {saidSure(week.grades).map((said) => (
                <li key={said}>{said}</li>
              ))}
            </ul>
          </>
        )}
        {week.lots.length > 0 && (
          <>
            <h3>{words.lotsTitle}</h3>
            <ul class="abreast">
              {week.lots.map((lot) => (
                <li key={lot.lot}>
                  <Link to={`/plan/${lot.lot}`}>{lotLine(lot)}</Link>{' '}
                  <span class="small">{saidLot(lot, week.grades).join(' ')}</span>{' '}
                  <TryLot lot={lot.lot} tag={lot.tag} />
                </li>
              ))}
            </ul>
          </>
        )}
      </details>
    </details>
  );
}

/** A week in a line: pots of all grades against all that is booked, what is safe on top of it, and what is not sure. */
function Line({ week }: { week: SupplyWeek }) {
  const words = supervisorWords.value.supply;
  const { table, line, unknown } = words;
  const all = week.grades.at(-1);
  const isKnown = all !== undefined && (week.lots.length === 0 || knownLots(week) > 0);
  const booked = week.bookings.reduce((sum, booking) => sum + booking.open, 0);
  return (
    <span class="weekline">
      <span class="what">
        <b>{shipWeek(week.week)}</b> <span>{line.kind(nameOfCrop(week.crop), potSize(week.pot_mm))}</span>{' '}
        <span class="small quiet">{saidHolidays(week.week).join(' · ')}</span>
      </span>
      <span class="likely">
        <span class="label">{line.expected}</span>{' '}
        {isKnown ? words.between(number(all.median), number(all.low), number(all.high)) : unknown}
      </span>
      <span>
        <span class="label">{table.booked}</span> {saidBooked(week)}
      </span>
      <span>
        <span class="label">{table.safe}</span> {isKnown ? saidSafe(week.grades) : unknown}
      </span>
      <span class={week.missing > 0 ? '' : 'chance'}>
        {week.missing > 0 ? (
          <>
            <span class="label">{table.short}</span>{' '}
            <b class="attention">{supervisorWords.value.plan.chanceShort(tenths(week.short ?? 0))}</b>{' '}
            <span class="small attention block">{line.missing(week.missing)}</span>
          </>
        ) : (
          booked > 0 && (
            <>
              <span class="label">{table.short}</span> {worstShort(week)}
            </>
          )
        )}
      </span>
    </span>
  );
}

function Grades({ week, name }: { week: SupplyWeek; name: string }) {
  const words = supervisorWords.value.supply;
  const nothing = knownLots(week) === 0;
  return (
    <DataTable
      caption={name}
      captionUnseen
      stacks
      rows={week.grades}
      keyOf={(grade) => grade.grade}
      columns={[
        {
          key: 'grade',
          title: words.table.grade,
          heads: true,
          cell: (grade) => nameOf(week.grades, week.grades.indexOf(grade), grade.grade),
        },
        {
          key: 'expected',
          title: words.table.expected,
          numeric: true,
          cell: (grade) =>
            nothing ? words.unknown : words.between(number(grade.median), number(grade.low), number(grade.high)),
        },
        {
          key: 'booked',
          title: words.table.booked,
          numeric: true,
          cell: (grade) => number(bookedUpTo(week.grades, grade)),
        },
        {
          key: 'safe',
          title: words.table.safe,
          numeric: true,
          cell: (grade) => (nothing ? words.unknown : <b>{number(grade.safe)}</b>),
        },
        {
          key: 'short',
          title: words.table.short,
          numeric: true,
          cell: (grade) => saidShort(week, grade),
        },
      ]}
    />
  );
}
