import { useEffect, useState } from 'preact/hooks';
import type { RightLot, RightSaid, RightScore, RightTenth, RightView } from '../../../../../schema/types';
import { DataTable } from '../../../parts/DataTable';
import { Link } from '../../../router';
import { refresh } from '../../../views/views';
import { day, percent } from '../../../words/format';
import { lotLine } from '../../../words/names';
import { supervisorWords } from '../../../words/supervisor';
import { Filters, Pick } from '../Filters';
import { Section } from '../Page';
import { Part } from './Parts';
import { Reliability } from './Reliability';
import { Spreads } from './RightSpreads';
import { nameOfScore, saidCount, saidInTime, saidLate, saidReady, saidShares, saidSure } from './rightWords';
import '../../../style/supervisor-right.css';

const PATH = 'right';
/** How long the page waits before it asks for what is still being computed. */
const AGAIN_MS = 1_000;

/** What the plan said of the lots that have shipped, against what happened. */
export function Right() {
  return (
    <Part<RightView> here="right" path={PATH} title={() => supervisorWords.value.right.title}>
      {(view, { trouble }) => <All view={view} failed={trouble !== undefined} />}
    </Part>
  );
}

type Weeks = '4' | '8' | '12';
const horizons: readonly Weeks[] = ['4', '8', '12'];

/** @param failed the last answer did not come */
function All({ view, failed }: { view: RightView; failed: boolean }) {
  const words = supervisorWords.value.right;
  // By the answer and not by its number: two answers may have the same number left.
  useEffect(() => {
    if (!view.waiting || failed) return;
    const later = setTimeout(() => void refresh(PATH), AGAIN_MS);
    return () => clearTimeout(later);
  }, [view, failed]);
  const [weeks, pick] = useState<Weeks>('4');
  const since = day(view.since);
  const isOf = (said: { weeks: number }) => said.weeks === Number(weeks);
  return (
    <>
      {view.lots.length === 0 ? (
        <div class="empty">
          <h2>{words.emptyTitle}</h2>
          <p>{words.empty(since)}</p>
        </div>
      ) : (
        <>
          <p class="intro">{words.intro}</p>
          <p class="intro small quiet">{words.compared}</p>
          {view.waiting > 0 && <p role="status">{words.waiting(view.waiting)}</p>}
          <Filters count={words.count(view.lots.length, since)}>
            <Pick
              label={words.before}
              value={weeks}
              options={horizons.map((value) => ({ value, label: words.weeks(Number(value)) }))}
              onPick={pick}
            />
          </Filters>
          {view.lots.length < view.least ? (
            <p>{words.few(view.lots.length, view.least)}</p>
          ) : (
            <Counts scores={view.scores.filter(isOf)} tenths={view.tenths.filter(isOf)} />
          )}
          {/* Of some of the lots alone they would be others. */}
          {view.waiting === 0 && <Spreads view={view} />}
          <Section title={words.listTitle}>
            <List
              rows={view.lots.flatMap((lot) => lot.said.filter(isOf).map((said) => ({ lot, said })))}
              title={words.listTitle}
            />
          </Section>
        </>
      )}
    </>
  );
}

function Counts({ scores, tenths }: { scores: readonly RightScore[]; tenths: readonly RightTenth[] }) {
  const words = supervisorWords.value.right;
  return (
    <>
      <Section title={words.scoresTitle}>
        <DataTable
          caption={words.scoresTitle}
          captionUnseen
          stacks
          rows={scores}
          keyOf={(score) => `${score.crop}\n${score.cultivar}`}
          columns={[
            { key: 'of', title: words.table.of, heads: true, cell: nameOfScore },
            { key: 'inside', title: words.table.inside, cell: ({ inside }) => saidCount(inside) },
            { key: 'late', title: words.table.late, cell: (score) => saidLate(score.late_days) },
            { key: 'held', title: words.table.held, cell: ({ held }) => saidCount(held) },
          ]}
        />
        <p class="intro small quiet">{words.shared}</p>
      </Section>
      <Section title={words.plotTitle}>
        {tenths.length === 0 ? (
          <p>{words.noTenths}</p>
        ) : (
          <div class="reliability">
            <Reliability tenths={tenths} />
            <DataTable
              caption={words.plotTitle}
              captionUnseen
              rows={tenths}
              keyOf={({ from }) => String(from)}
              columns={[
                { key: 'chance', title: words.table.chance, heads: true, cell: ({ chance }) => percent(chance) },
                { key: 'came', title: words.table.came, cell: (tenth) => saidCount(tenth.in_time) },
              ]}
            />
          </div>
        )}
      </Section>
    </>
  );
}

interface Row {
  lot: RightLot;
  said: RightSaid;
}

function List({ rows, title }: { rows: readonly Row[]; title: string }) {
  const words = supervisorWords.value.right;
  return (
    <DataTable
      caption={title}
      captionUnseen
      stacks
      rows={rows}
      keyOf={({ lot }) => lot.lot}
      columns={[
        {
          key: 'lot',
          title: words.table.lot,
          heads: true,
          by: ({ lot }) => lot.tag,
          cell: ({ lot }) => <Link to={`/lots/${lot.lot}`}>{lotLine(lot)}</Link>,
        },
        {
          key: 'left',
          title: words.table.left,
          by: ({ lot }) => lot.left_on,
          whole: true,
          cell: ({ lot }) => day(lot.left_on),
        },
        { key: 'ready', title: words.table.ready, cell: ({ said }) => saidReady(said) },
        {
          key: 'days',
          title: words.table.days,
          by: ({ said }) => said.late_days ?? 0,
          cell: ({ said }) => (
            <>
              {saidLate(said.late_days)}
              {said.inside === false && <span class="block attention">{words.outside}</span>}
            </>
          ),
        },
        { key: 'inTime', title: words.table.inTime, cell: ({ said }) => <Lines lines={saidInTime(said)} /> },
        { key: 'pots', title: words.table.pots, cell: ({ said }) => <Lines lines={saidSure(said)} /> },
        { key: 'grades', title: words.table.grades, cell: ({ lot, said }) => <Lines lines={saidShares(lot, said)} /> },
      ]}
    />
  );
}

/** In one piece, so that a row that is stacked on a phone keeps them below each other. */
function Lines({ lines }: { lines: readonly string[] }) {
  return (
    <span class="block">
      {lines.map((line) => (
        <span key={line} class="block">
          {line}
        </span>
      ))}
    </span>
  );
}
