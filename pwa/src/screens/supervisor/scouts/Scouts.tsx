import type { Agreement, Drift, Estimate, ScoutsView } from '../../../../../schema/types';
import { DataTable } from '../../../parts/DataTable';
import { IntervalBar } from '../../../parts/IntervalBar';
import { Link } from '../../../router';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { estimate, number, percent, signedPercent, signedPercentEstimate } from '../../../words/format';
import { refresh, useView } from '../../../views/views';
import { bedName } from '../names';
import { Page, Section } from '../Page';
import { OwnHouses } from './OwnHouses';

const PATH = 'scouts';
/** Ends of the drift bars: 12 % is far more than two careful readers differ by (common practice, no source). */
const WIDEST = 0.12;
/** A difference that matters (as in sync/bed/drift.go); common practice, no source. */
const MATTERS = 0.02;

/** Whether the scouts read alike. */
export default function Scouts() {
  const loaded = useView<ScoutsView>(PATH);
  return (
    <Page
      here="scouts"
      title={() => supervisorWords.value.pages.scoutsPage.title}
      loaded={loaded}
      onTryAgain={() => void refresh(PATH)}
    >
      {(view) => (
        <>
          <p class="intro">{supervisorWords.value.pages.scoutsPage.intro}</p>
          <p class="actions">
            <Link to="/days" class="button plain tap">
              {supervisorWords.value.dayPage.toDays}
            </Link>
          </p>
          <Drifts view={view} />
          <Agreements view={view} />
          <Rounds view={view} />
          <OwnHouses />
        </>
      )}
    </Page>
  );
}

function Drifts({ view }: { view: ScoutsView }) {
  const words = supervisorWords.value.pages.scoutsPage;
  const drifts = view.drifts.filter((drift) => drift.bias.known);
  return (
    <Section title={words.driftTitle}>
      {drifts.length === 0 ? (
        <p class="quiet">{words.driftNone}</p>
      ) : (
        <>
          <ul class="drifts">
            {drifts.map((drift) => (
              <OneDrift
                key={drift.person}
                drift={drift}
                name={view.people[drift.person] ?? appWords.value.common.unknown}
              />
            ))}
          </ul>
          <p class="small quiet">{words.driftNote}</p>
        </>
      )}
    </Section>
  );
}

function OneDrift({ drift, name }: { drift: Drift; name: string }) {
  const words = supervisorWords.value.pages.scoutsPage;
  const { bias } = drift;
  const by =
    Math.abs(bias.value) < 0.005
      ? words.like
      : bias.value > 0
        ? words.large(percent(bias.value, 1))
        : words.small(percent(-bias.value, 1));
  const said = bias.interval.known
    ? words.drift(name, by, signedPercent(bias.interval.low), signedPercent(bias.interval.high))
    : `${name}: ${by}`;
  return (
    <li>
      <p>
        {said}
        <span class="small quiet">
          {' '}
          {words.walks(drift.walks)}
          {bias.interval.known && ':'}
        </span>
        {drift.attention ? (
          <b class="attention"> {words.needsTalk}</b>
        ) : (
          bias.interval.known && <span class="small quiet"> {words.verdict[verdictOf(drift)]}</span>
        )}
      </p>
      <div class="centred">
        <span class="rule" aria-hidden="true">
          −{percent(WIDEST)}
        </span>
        <IntervalBar
          label={said}
          value={bias.value}
          interval={bias.interval}
          from={-WIDEST}
          to={WIDEST}
          zone={{ low: -MATTERS, high: MATTERS }}
        />
        <span class="rule" aria-hidden="true">
          +{percent(WIDEST)}
        </span>
      </div>
    </li>
  );
}

/** What the interval says, beside no difference and beside one that matters. */
function verdictOf({ bias: { interval } }: Drift): 'chance' | 'little' | 'maybe' {
  if (interval.low <= 0 && interval.high >= 0) return 'chance';
  return interval.low > -MATTERS && interval.high < MATTERS ? 'little' : 'maybe';
}

function Agreements({ view }: { view: ScoutsView }) {
  const words = supervisorWords.value.pages.scoutsPage;
  return (
    <Section title={words.agreeTitle}>
      {view.agreements.length === 0 ? (
        <p class="quiet">{words.agreeNone}</p>
      ) : (
        <>
          <AgreementTable rows={view.agreements} people={view.people} caption={words.agreeTitle} />
          <p class="small quiet">{words.agreeNote}</p>
        </>
      )}
    </Section>
  );
}

interface TableProps {
  rows: readonly Agreement[];
  people: { [person: string]: string };
  caption: string;
}

function AgreementTable({ rows, people, caption }: TableProps) {
  const words = supervisorWords.value.pages.scoutsPage;
  const name = (person: string) => people[person] ?? appWords.value.common.unknown;
  const kappa = (given: Estimate) => {
    if (given.known) return estimate(given, (value) => number(value, 2));
    return given.n > 0 ? words.oneClass : appWords.value.common.notLookedAt;
  };
  return (
    <DataTable
      caption={caption}
      captionUnseen
      stacks
      rows={rows}
      keyOf={(row) => `${row.a} ${row.b}`}
      columns={[
        {
          key: 'pair',
          title: words.pair,
          heads: true,
          cell: (row) => words.and(name(row.a), name(row.b)),
        },
        { key: 'n', title: words.pots, numeric: true, whole: true, cell: (row) => number(row.n) },
        { key: 'bias', title: words.bias, numeric: true, whole: true, cell: (row) => signedPercentEstimate(row.bias) },
        {
          key: 'limits',
          title: words.limits,
          numeric: true,
          whole: true,
          cell: (row) =>
            row.limits.known
              ? appWords.value.common.to(signedPercent(row.limits.low), signedPercent(row.limits.high))
              : appWords.value.common.unknown,
        },
        { key: 'icc', title: words.icc, numeric: true, cell: (row) => kappa(row.icc) },
        { key: 'cover', title: words.cover, numeric: true, cell: (row) => kappa(row.cover) },
        { key: 'life', title: words.life, numeric: true, cell: (row) => kappa(row.life) },
        { key: 'chlorosis', title: words.chlorosis, numeric: true, cell: (row) => kappa(row.chlorosis) },
      ]}
    />
  );
}

function Rounds({ view }: { view: ScoutsView }) {
  const words = supervisorWords.value.pages.scoutsPage;
  const name = (person: string) =>
    person === '' ? words.anybody : (view.people[person] ?? appWords.value.common.unknown);
  return (
    <Section title={words.roundsTitle}>
      {view.rounds.length === 0 ? (
        <p class="quiet">{words.roundsNone}</p>
      ) : (
        <DataTable
          caption={words.roundsTitle}
          captionUnseen
          stacks
          rows={view.rounds}
          keyOf={(round) => `${round.round} ${round.by}`}
          columns={[
            {
              key: 'bed',
              title: words.roundBed,
              heads: true,
              cell: (round) => <Link to={`/beds/${round.bed}`}>{bedName(round.bed_name)}</Link>,
            },
            { key: 'first', title: words.roundFirst, whole: true, cell: (round) => name(round.first) },
            { key: 'by', title: words.roundBy, whole: true, cell: (round) => name(round.by) },
            {
              key: 'done',
              title: words.roundDone,
              numeric: true,
              whole: true,
              cell: (round) =>
                [
                  appWords.value.common.of(number(round.rescored), appWords.value.common.pots(round.pots)),
                  ...(round.done ? [words.roundClosed] : []),
                ].join(', '),
            },
            {
              key: 'bias',
              title: words.bias,
              numeric: true,
              whole: true,
              cell: (round) => (round.result ? signedPercentEstimate(round.result.bias) : ''),
            },
          ]}
        />
      )}
    </Section>
  );
}
