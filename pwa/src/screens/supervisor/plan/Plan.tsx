import type { ComponentType } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { LotPlan, PlanView } from '../../../../../schema/types';
import { cropKey } from '../../../../../sync/bed/crop';
import { useLater } from '../../../parts/later';
import { useMedia } from '../../../parts/width';
import { Link } from '../../../router';
import { appWords } from '../../../words';
import { shipWeek } from '../../../words/format';
import { lotLine, nameOfCrop } from '../../../words/names';
import { supervisorWords } from '../../../words/supervisor';
import { refresh, useView } from '../../../views/views';
import { CropPick, Filters, NoneMatch, Tick } from '../Filters';
import { PlanEdit } from '../lot/PlanEdit';
import { shortGate } from '../../../words/gates';
import { PlanOfLot } from '../lot/PlanOfLot';
import { isBehind, isLate, saidReady, tenths } from '../lot/planWords';
import { Cooler } from '../cooler/Cooler';
import { Page } from '../Page';
import { Axis, Line, scaleOf, type Scale } from './Line';
import { Parts } from './Parts';
import { Weeks } from './Weeks';
import '../../../style/supervisor-plan.css';
import '../../../style/supervisor-opened.css';
import '../../../style/supervisor-crops.css';

const PATH = 'plan';

/** From so wide a window on the lot that was opened stands beside the calendar, narrower before it. */
const ROOM_BESIDE = '(min-width: 62.01rem)';

/** Parts that are looked at now and then, or bring much that no other needs, as a logger's file what reads tables of text. */
const fetched = new Map<string, () => Promise<ComponentType>>([
  ['work', () => import('./Work').then((it) => it.Work)],
  ['tomorrow', () => import('./Tomorrow').then((it) => it.Tomorrow)],
  ['applications', () => import('./ApplicationLog').then((it) => it.ApplicationLog)],
  ['routes', () => import('./Routes').then((it) => it.Routes)],
  ['logger', () => import('../cooler/LoggerFile').then((it) => it.LoggerFile)],
  ['week', () => import('./WeekSheet').then((it) => it.WeekSheet)],
  ['right', () => import('./Right').then((it) => it.Right)],
]);

/** A part of the plan by its name, or every lot on the calendar, one opened by its id. */
export default function Plan({ id }: { id?: string }) {
  if (id === undefined) return <Calendar />;
  if (id === 'weeks') return <Weeks />;
  if (id === 'cooler') return <Cooler />;
  const load = fetched.get(id);
  return load ? <Fetched key={id} load={load} /> : <Calendar id={id} />;
}

function Fetched({ load }: { load: () => Promise<ComponentType> }) {
  const Shown = useLater(load);
  return Shown ? <Shown /> : null;
}

/** Every lot that has not shipped on the calendar; the one whose line was opened beside it. */
function Calendar({ id }: { id?: string }) {
  const loaded = useView<PlanView>(PATH);
  return (
    <Page
      here="plan"
      title={() => supervisorWords.value.plan.title}
      loaded={loaded}
      onTryAgain={() => void refresh(PATH)}
    >
      {(view) => <Lots view={view} {...(id === undefined ? {} : { open: id })} />}
    </Page>
  );
}

interface Filter {
  crop: string;
  late: boolean;
}

const everything: Filter = { crop: '', late: false };

function Lots({ view, open }: { view: PlanView; open?: string }) {
  const words = supervisorWords.value.plan;
  const [filter, setFilter] = useState(everything);
  const shown = view.lots.filter(
    (lot) => (filter.crop === '' || cropKey(lot.crop) === filter.crop) && (!filter.late || isBehind(lot.plan)),
  );
  if (view.lots.length === 0) {
    return (
      <div class="empty">
        <h2>{words.emptyTitle}</h2>
        <p>{words.empty}</p>
      </div>
    );
  }
  const scale = scaleOf(view);
  const calendar = (
    <div>
      <p class="intro">{words.intro}</p>
      {!view.own_stages && (
        <p class="intro quiet">
          {words.noneOwn} <Link to="/crops">{words.toCrops}</Link>
        </p>
      )}
      <Filters count={words.count(shown.length, shown.filter((lot) => isLate(lot.plan)).length)}>
        <CropPick
          crops={view.lots.map((lot) => lot.crop)}
          value={filter.crop}
          onPick={(crop) => setFilter({ ...filter, crop })}
        />
        <Tick label={words.lateOnly} checked={filter.late} onTick={(late) => setFilter({ ...filter, late })} />
      </Filters>
      {shown.length === 0 ? (
        <NoneMatch said={words.noneMatch} clear={appWords.value.common.clear} onClear={() => setFilter(everything)} />
      ) : (
        <div class="calendar">
          <Axis scale={scale} title={words.makesIt} />
          <ol>
            {shown.map((lot) => (
              <Row key={lot.lot} lot={lot} scale={scale} today={view.today} isOpen={lot.lot === open} />
            ))}
          </ol>
        </div>
      )}
    </div>
  );
  return (
    <>
      <Parts here="lots" />
      {open === undefined ? (
        calendar
      ) : (
        <div class="opens">
          <Beside view={view} lot={open} />
          {calendar}
        </div>
      )}
    </>
  );
}

interface RowProps {
  lot: LotPlan;
  scale: Scale;
  today: string;
  isOpen: boolean;
}

function Row({ lot, scale, today, isOpen }: RowProps) {
  const words = supervisorWords.value.plan;
  const { plan } = lot;
  const name = lotLine(lot);
  const isWrong = isLate(plan) || plan.problem !== '';
  const own = useRef<HTMLLIElement>(null);
  const staysInSight = useMedia(ROOM_BESIDE) && isOpen;
  useEffect(() => {
    // Another address begins at the top of its page, and of many lots this one may stand far below.
    if (staysInSight) own.current?.scrollIntoView({ block: 'center' });
  }, [staysInSight]);
  return (
    <li ref={own} class={isOpen ? 'row open' : 'row'}>
      <div class="who">
        <Link to={`/plan/${lot.lot}`} aria-current={isOpen ? 'page' : undefined}>
          {name}
        </Link>
        <span class={isWrong ? 'small attention' : 'small quiet'}>
          {lot.ship_week === '' ? words.noWeek : words.week(shipWeek(lot.ship_week))}
          {isLate(plan) && ` · ${words.lateShort(plan.late_days)}`}
        </span>
        {plan.problem === '' &&
          plan.gates?.map((gate) => (
            <span key={gate.line} class={gate.state === 'not_yet' ? 'small attention' : 'small quiet'}>
              {shortGate(gate)}
            </span>
          ))}
      </div>
      {plan.problem === '' ? (
        <Line plan={plan} scale={scale} today={today} name={words.drawing(name, saidReady(plan, today))} />
      ) : (
        <p class="small">
          {plan.problem === 'no_stages' ? words.problem.no_stages(nameOfCrop(lot.crop)) : words.problem.start_unknown}
        </p>
      )}
      <b class={plan.chance !== undefined && plan.chance < 0.5 ? 'chance attention' : 'chance'}>
        {plan.chance === undefined ? '' : words.chanceShort(tenths(plan.chance))}
      </b>
    </li>
  );
}

/** The lot whose line was opened. */
function Beside({ view, lot: id }: { view: PlanView; lot: string }) {
  const words = supervisorWords.value.plan;
  const lot = view.lots.find((each) => each.lot === id);
  return (
    <section class="opened" aria-labelledby="beside">
      <h2 id="beside">{lot ? lotLine(lot) : words.problem.shipped}</h2>
      {lot && (
        <>
          <PlanOfLot plan={lot.plan} crop={lot.crop} week={lot.ship_week} today={view.today} narrow />
          <PlanEdit lot={lot.lot} plan={lot.plan} />
        </>
      )}
      <p class="actions">
        {lot && (
          <Link to={`/lots/${id}`} class="button plain tap">
            {words.openLot}
          </Link>
        )}
        <Link to="/plan" class="button plain tap">
          {words.close}
        </Link>
      </p>
    </section>
  );
}
