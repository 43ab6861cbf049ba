import type { LotView } from '../../../../../schema/types';
import { addressOf } from '../../../forms/place';
import { Link } from '../../../router';
import { supervisorWords } from '../../../words/supervisor';
import { list } from '../../../words/format';
import { potSize } from '../../../words/entry';
import { nameOfCrop } from '../../../words/names';
import { Cold } from './Cold';
import { CountLedger } from './CountLedger';
import { FactList } from '../FactList';
import { Family } from './Family';
import { Growth } from './Growth';
import { Known } from './Known';
import { LifeLine } from './LifeLine';
import { refresh, useView } from '../../../views/views';
import { LotHistory } from './LotHistory';
import { LotPromise } from './LotPromise';
import { LotTrends } from './LotTrends';
import { PlanEdit } from './PlanEdit';
import { PlanOfLot } from './PlanOfLot';
import { StockPlants } from './StockPlants';
import { hasRooting, Rooting } from './Rooting';
import { Expected } from './Expected';
import { useBedNames } from '../names';
import { useOnePage } from '../onePage';
import { Page, Section } from '../Page';
import { Settle } from '../Settle';
import '../../../style/supervisor-fields.css';

/** One lot's merged record: everything that anybody wrote about it, in one place. */
export default function Lot({ id = '' }: { id?: string }) {
  const path = `lots/${id}`;
  const loaded = useView<LotView>(path);
  const words = supervisorWords.value.lot;
  return (
    <Page
      here="lots"
      isReport
      loaded={loaded}
      onTryAgain={() => void refresh(path)}
      title={(view) => (view ? words.title(view.lot.tag, view.lot.cultivar) : words.table.tag)}
      above={() => <Link to="/lots">{words.listTitle}</Link>}
    >
      {(view) => <Whole view={view} />}
    </Page>
  );
}

function Whole({ view }: { view: LotView }) {
  const words = supervisorWords.value.lot;
  const { lot } = view;
  const nameOf = useBedNames();
  useOnePage();
  return (
    <>
      <div class="pagehead report">
        <p class="gist">
          {lot.pot_mm > 0
            ? words.summary(nameOfCrop(lot.crop), potSize(lot.pot_mm), lot.pots)
            : words.summaryNoPot(nameOfCrop(lot.crop), lot.pots)}
          {', '}
          {lot.beds.length > 0 ? words.standsOn(list(lot.beds.map(nameOf))) : words.nowhere}
        </p>
        <div class="actions">
          {lot.beds.map((bed) => (
            <Link key={bed} to={`/beds/${bed}`} class="button plain tap">
              {nameOf(bed)}
            </Link>
          ))}
          <Link
            to={addressOf('', { lot: lot.id, bed: lot.beds.length === 1 ? (lot.beds[0] ?? '') : '' })}
            class="button plain tap"
          >
            {words.note}
          </Link>
          <a class="button plain tap" href={`/api/out/observations.csv?lot=${lot.id}`} download="">
            {words.csv}
          </a>
        </div>
      </div>
      <Parts view={view} />
      <Settle view={view} />
      <LifeLine view={view} />
      <Section title={supervisorWords.value.plan.lotTitle} id="plan">
        <PlanOfLot plan={view.plan} crop={lot.crop} week={lot.ship_week} today={view.today} />
        <PlanEdit lot={lot.id} plan={view.plan} />
      </Section>
      {view.cold && <Cold lot={view.cold} cooler={view.cooler} />}
      <LotPromise view={view} />
      {view.growth && <Growth growth={view.growth} today={view.today} />}
      <LotTrends view={view} />
      <StockPlants view={view} />
      <Rooting view={view} />
      <Expected view={view} />
      <div class="columns">
        <Known view={view} />
        <Family view={view} />
      </div>
      {/* The report on paper is one page: what is looked up is left to the screen. */}
      <div class="off-paper">
        <CountLedger view={view} />
        <Section title={words.factsTitle} id="facts">
          <FactList facts={view.facts} people={view.people} none={words.factsNone} />
        </Section>
        <LotHistory view={view} />
      </div>
    </>
  );
}

/** Leads to each part of a page that is many screens long. */
function Parts({ view }: { view: LotView }) {
  const { lot } = supervisorWords.value;
  const parts: readonly (readonly [id: string, name: string, isThere: boolean])[] = [
    ['known', lot.fieldsTitle, true],
    ['life', lot.parts.life, true],
    ['plan', lot.parts.plan, true],
    ['bookings', lot.parts.bookings, true],
    ['even', lot.parts.even, true],
    ['growth', lot.parts.growth, view.growth !== undefined],
    ['cold', lot.parts.cold, view.cold !== undefined],
    ['rooting', lot.rootingOf.title, hasRooting(view)],
    ['family', lot.familyTitle, true],
    ['counts', lot.countsTitle, true],
    ['facts', lot.parts.facts, true],
    ['history', lot.parts.history, true],
  ];
  return (
    <nav class="jumps" aria-label={lot.parts.title}>
      {parts.map(
        ([id, name, isThere]) =>
          isThere && (
            <a key={id} href={`#${id}`}>
              {name}
            </a>
          ),
      )}
    </nav>
  );
}
