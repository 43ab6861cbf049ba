import { useState } from 'preact/hooks';
import type { RouteLot, RoutesView } from '../../../../../schema/types';
import { cropKey } from '../../../../../sync/bed/crop';
import { DataTable } from '../../../parts/DataTable';
import { Link } from '../../../router';
import { word } from '../../../words/entry';
import { lotLine } from '../../../words/names';
import { supervisorWords } from '../../../words/supervisor';
import { CropPick, Filters } from '../Filters';
import { Section } from '../Page';
import { MoneyOfNursery } from './MoneyEdit';
import { Part } from './Parts';
import { linesOf, moneyIn, saidBasis, saidByBench, saidByPot, saidCosts, saidEven, type Money } from './routesWords';

/** What each lot would bring on the florist's route and on the nursery's, side by side. */
export function Routes() {
  return (
    <Part<RoutesView> here="routes" path="routes" title={() => supervisorWords.value.routes.title}>
      {(view) => <All view={view} />}
    </Part>
  );
}

function All({ view }: { view: RoutesView }) {
  const words = supervisorWords.value.routes;
  const [crop, setCrop] = useState('');
  const money = moneyIn(view.currency);
  const lots = view.lots.filter((lot) => crop === '' || cropKey(lot.crop) === crop);
  const compared = lots.filter(({ problem }) => problem === '');
  const others = lots.filter(({ problem }) => problem !== '');
  return (
    <>
      <p class="intro">{words.intro}</p>
      <MoneyOfNursery view={view} money={money} />
      {view.lots.length === 0 ? (
        <p>{words.empty}</p>
      ) : (
        <>
          <Filters count={words.count(compared.length, lots.length)}>
            <CropPick crops={view.lots.map((lot) => lot.crop)} value={crop} onPick={setCrop} />
          </Filters>
          <div class="shipweeks">
            {compared.map((lot) => (
              <One key={lot.lot} lot={lot} today={view.today} money={money} />
            ))}
          </div>
          {others.length > 0 && <NotCompared lots={others} />}
          <p class="intro small quiet">{words.assumes}</p>
        </>
      )}
    </>
  );
}

function One({ lot, today, money }: { lot: RouteLot; today: string; money: Money }) {
  const words = supervisorWords.value.routes;
  const name = lotLine(lot);
  const isPriced = lot.florist.margin_c !== undefined && lot.nursery.margin_c !== undefined;
  return (
    <section class="shipweek">
      <h2>
        <Link to={`/lots/${lot.lot}`}>{name}</Link>
      </h2>
      {isPriced && <p>{saidByPot(lot, money)}</p>}
      {saidByBench(lot, money).map((said) => (
        <p key={said}>{said}</p>
      ))}
      {saidEven(lot, money).map((said) => (
        <p key={said}>{said}</p>
      ))}
      {saidCosts(lot, money).map((said) => (
        <p key={said} class="small">
          {said}
        </p>
      ))}
      <p class="small quiet">{saidBasis(lot)}</p>
      <DataTable
        caption={name}
        captionUnseen
        rows={linesOf(lot, today, money)}
        keyOf={({ key }) => key}
        columns={[
          { key: 'line', title: words.line, heads: true, cell: ({ title }) => title },
          {
            key: 'florist',
            title: words.florist,
            numeric: true,
            cell: ({ florist, isSum }) => (isSum ? <b>{florist}</b> : florist),
          },
          {
            key: 'nursery',
            title: words.nursery,
            numeric: true,
            cell: ({ nursery, isSum }) => (isSum ? <b>{nursery}</b> : nursery),
          },
        ]}
      />
    </section>
  );
}

/** The lots of which nothing can be said, by the reason, with what to do. */
function NotCompared({ lots }: { lots: readonly RouteLot[] }) {
  const words = supervisorWords.value.routes;
  const problems = [...new Set(lots.map(({ problem }) => problem))];
  return (
    <Section title={words.cannotTitle}>
      {problems.map((problem) => (
        <div key={problem}>
          <p>{word(words.cannot, problem)}</p>
          <p class="small">
            {lots
              .filter((lot) => lot.problem === problem)
              .map((lot, i) => (
                <span key={lot.lot}>
                  {i > 0 && ' · '}
                  <Link to={`/lots/${lot.lot}`}>{lotLine(lot)}</Link>
                </span>
              ))}
          </p>
        </div>
      ))}
    </Section>
  );
}
