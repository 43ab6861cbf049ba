import { useState } from 'preact/hooks';
import type { RouteLot, RoutesView } from '../../../../../schema/types';
import { cropKey } from '../../../../../sync/bed/crop';
import { DataTable } from '../../../parts/DataTable';
import { Link } from '../../../router';
import { potSize, word } from '../../../words/entry';
import { lotLine } from '../../../words/names';
import { supervisorWords } from '../../../words/supervisor';
import { CropPick, Filters } from '../Filters';
import { Section } from '../Page';
import { MoneyOfNursery } from './MoneyEdit';
import { useOpenOnPaper } from '../onPaper';
import { Part } from './Parts';
import {
  answerOf,
  byAnswer,
  lineOf,
  linesOf,
  moneyIn,
  saidBasis,
  saidByBench,
  saidByPot,
  saidCosts,
  saidEven,
  type Answer,
  type Money,
} from './routesWords';

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
  const groups = byAnswer(compared).map(([answer, these]) => ({
    answer,
    lots: these,
    title: words.answer[answer](these.length),
  }));
  return (
    <>
      <p class="intro">{words.intro}</p>
      <MoneyOfNursery view={view} money={money} />
      {view.lots.length === 0 ? (
        <p>{words.empty}</p>
      ) : (
        <>
          <Filters count={[words.count(compared.length, lots.length), ...groups.map(({ title }) => title)].join(' · ')}>
            <CropPick crops={view.lots.map((lot) => lot.crop)} value={crop} onPick={setCrop} />
          </Filters>
          <Lines groups={groups} today={view.today} money={money} />
          {others.length > 0 && <NotCompared lots={others} />}
          <p class="intro small quiet">{words.assumes}</p>
        </>
      )}
    </>
  );
}

interface LinesProps {
  groups: readonly { answer: Answer; lots: readonly RouteLot[]; title: string }[];
  today: string;
  money: Money;
}

/** A line a lot, by which route leaves more; one is open at a time. */
function Lines({ groups, today, money }: LinesProps) {
  const words = supervisorWords.value.routes;
  // A printed page has every line, and the sums of the lot that is open.
  const list = useOpenOnPaper('.answer');
  return (
    <div class="shipweeks" ref={list}>
      <p class="weekline routes heads small quiet" aria-hidden="true">
        <span>{words.brief.lot}</span>
        <span>{words.brief.pot}</span>
        <span>{words.brief.bench}</span>
        <span>{words.brief.chance}</span>
        <span>{words.ready}</span>
      </p>
      {groups.map(({ answer, lots, title }) => (
        <details key={answer} class="answer" open={answer !== 'unknown'}>
          <summary>
            <h2>{title}</h2>
          </summary>
          {lots.map((lot) => (
            <One key={lot.lot} lot={lot} today={today} money={money} />
          ))}
        </details>
      ))}
    </div>
  );
}

interface OneProps {
  lot: RouteLot;
  today: string;
  money: Money;
}

function One({ lot, today, money }: OneProps) {
  const words = supervisorWords.value.routes;
  const { pot, bench, chance, ready, isPart } = lineOf(lot, today, money);
  const { brief } = words;
  const answer = answerOf(lot);
  const isOther = (answer === 'florist' || answer === 'nursery') && answer !== lot.route;
  return (
    // Those of one name are open one at a time.
    <details class="shipweek" name="route">
      <summary>
        <span class="weekline routes">
          <span class="what">
            <b>{lotLine(lot)}</b> <span>{potSize(lot.pot_mm)}</span>{' '}
            {lot.route !== '' && (
              <span class={isOther ? 'planned small attention' : 'planned small quiet'}>
                {word(brief.planned, lot.route)}
              </span>
            )}
          </span>
          <span>
            <span class="label">{brief.pot}</span> {pot}
            {isPart && <span class="small quiet"> {brief.partly}</span>}
          </span>
          <span>
            <span class="label">{brief.bench}</span> {bench}
          </span>
          <span class="chance">
            <span class="label">{brief.chance}</span> {chance}
          </span>
          <span class="likely">
            <span class="label">{words.ready}</span> {ready}
          </span>
        </span>
      </summary>
      <Opened lot={lot} today={today} money={money} />
    </details>
  );
}

/** Both answers of a lot, what decides them, and the sums. */
function Opened({ lot, today, money }: OneProps) {
  const words = supervisorWords.value.routes;
  const name = lotLine(lot);
  const isPriced = lot.florist.margin_c !== undefined && lot.nursery.margin_c !== undefined;
  return (
    <div>
      <p>
        <Link to={`/lots/${lot.lot}`}>{name}</Link>
      </p>
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
    </div>
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
