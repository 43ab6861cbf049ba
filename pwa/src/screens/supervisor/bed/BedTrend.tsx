import type { Application, BedView, Event, TrendPoint } from '../../../../../schema/types';
import { DataTable } from '../../../parts/DataTable';
import { Twin } from '../../../parts/Figure';
import { lowestQuarter, Trend, type TrendMark } from '../../../parts/Trend';
import { Link } from '../../../router';
import { describeEntry } from '../../../words/entry';
import { dateTime, estimate, points, share } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { toWalk } from '../beds/place';
import { bedName, traitName } from '../names';
import { Section } from '../Page';
import { saidTrend } from '../TwoTraits';

interface Props {
  view: BedView;
  pinned: BedView | undefined;
}

/** Uniformity walk by walk, heads and buds apart, with what was done to the bed and where another scout took over. */
export function BedTrend({ view, pinned }: Props) {
  const words = supervisorWords.value.bed;
  const isOther = pinned && pinned.bed.id !== view.bed.id;
  const plots = (['head', 'buds'] as const).flatMap((trait) => {
    // A walk that was not ended saw a part of the bed: it stands in the table alone.
    const marks = marksOf(view, trait);
    return marks.length > 0 ? [{ trait, marks, other: isOther ? marksOf(pinned, trait) : [] }] : [];
  });
  if (plots.length === 0) return null;
  const steps = stepsOf(view);
  const times = plots.flatMap(({ marks, other }) => [...marks, ...other].map(({ at }) => at));
  // Heads and buds are drawn to one scale, so that they can be compared.
  const from = lowestQuarter(plots.flatMap(({ marks, other }) => [...marks, ...other]));
  const span = { from: Math.min(...times), to: Math.max(...times) };
  return (
    <Section title={words.trendTitle}>
      <div class="columns">
        {plots.map(({ trait, marks, other }) => (
          <div key={trait}>
            <h3>{words.trendOfTrait(traitName(trait))}</h3>
            <Trend
              name={saidTrend(trait, marks)}
              write={points}
              axis={words.evenAxis}
              count={words.walks(marks.length)}
              from={from}
              marks={marks}
              steps={steps}
              span={span}
              {...(trait === 'buds' ? { begins: words.trendBudsFrom } : {})}
              {...(other.length > 0 ? { other: { marks: other, from: '' } } : {})}
            />
          </div>
        ))}
      </div>
      {steps.length > 0 && (
        <ol class="steps small">
          {steps.map(({ id, said }) => (
            <li key={id}>{said}</li>
          ))}
        </ol>
      )}
      <p class="small quiet">
        {isOther ? words.trendNoteOther(bedName(view.bed.name), bedName(pinned.bed.name)) : words.trendNote}
      </p>
      <Twin table={() => <Walks view={view} pinned={pinned} />} />
    </Section>
  );
}

interface Step {
  id: string;
  at: number;
  said: string;
}

/** What was done to the bed between the first of its walks and the last, the earliest first: a jump there may be the step's. */
function stepsOf({ facts, since, until }: BedView): Step[] {
  return facts
    .flatMap(({ key, fact }): Step[] => {
      if (!fact || fact.voided || (fact.kind !== 'event' && fact.kind !== 'application')) return [];
      const at =
        fact.kind === 'event' ? Date.parse(`${(fact.body as Event).on}T12:00`) : (fact.body as Application).ended_at;
      return [{ id: key, at, said: describeEntry(fact.kind, fact.body) }];
    })
    .filter(({ at }) => since <= at && at <= until)
    .sort((a, b) => a.at - b.at);
}

/** The walks of the shown walk's season: of other lots' walks no line leads to its own. */
function marksOf({ walks, walk: chosen, since, until }: BedView, trait: 'head' | 'buds'): TrendMark[] {
  return walks
    .filter(({ whole, at, [trait]: even }) => whole && even.known && since <= at && at <= until)
    .map((point) => ({
      id: point.walk,
      at: point.at,
      value: point[trait].value,
      interval: point[trait].interval,
      scout: point.person_name,
      changed: point.scout_changed?.includes(trait) ?? false,
      chosen: point.walk === chosen,
    }));
}

function Walks({ view, pinned }: Props) {
  const words = supervisorWords.value.bed;
  return (
    <DataTable
      caption={words.trendTitle}
      captionUnseen
      rows={view.walks.toReversed()}
      keyOf={(point) => point.walk}
      columns={[
        {
          key: 'walk',
          title: words.trendWalk,
          heads: true,
          cell: (point) => <Link to={toWalk(view, pinned, point.walk)}>{dateTime(point.at)}</Link>,
        },
        {
          key: 'scout',
          title: words.trendScout,
          cell: (point) => [point.person_name, ...remarks(point)].join(' · '),
        },
        {
          key: 'head',
          title: words.headEven,
          numeric: true,
          cell: (point) => (point.head.known ? estimate(point.head, points) : ''),
        },
        {
          key: 'buds',
          title: words.budsEven,
          numeric: true,
          cell: (point) => (point.buds.known ? estimate(point.buds, points) : ''),
        },
        { key: 'n', title: words.seen, numeric: true, cell: (point) => point.uniformity.n },
        { key: 'c', title: words.chlorosis, cell: (point) => share(point.chlorosis) },
        { key: 'r', title: words.rot, cell: (point) => share(point.rot) },
      ]}
    />
  );
}

/** What is to be known of a walk beside its numbers: it was not finished, or a trait jumped with another scout. */
function remarks(point: TrendPoint): string[] {
  const words = supervisorWords.value.bed;
  return [
    ...(point.unfinished ? [words.notEnded] : []),
    ...(point.scout_changed ?? []).map((trait) => words.trendChanged(traitName(trait))),
  ];
}
