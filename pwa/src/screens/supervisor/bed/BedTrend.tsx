import type { BedView, TrendPoint } from '../../../../../schema/types';
import { DataTable } from '../../../parts/DataTable';
import { Figure } from '../../../parts/Figure';
import type { TrendMark } from '../../../parts/Trend';
import { Link } from '../../../router';
import { supervisorWords } from '../../../words/supervisor';
import { dateTime, estimate, points, share } from '../../../words/format';
import { traitName } from '../names';
import { Section } from '../Page';
import { TwoTraits } from '../TwoTraits';

/** Uniformity walk by walk, heads and buds each for itself, with a line where another scout took over. */
export function BedTrend({ view }: { view: BedView }) {
  const words = supervisorWords.value.bed;
  // A walk that was not ended saw a part of the bed: it stands in the table alone.
  const whole = view.walks.filter((point) => point.whole);
  const heads = marksOf(whole, 'head', view.walk);
  const buds = marksOf(whole, 'buds', view.walk);
  if (heads.length + buds.length === 0) return null;
  return (
    <Section title={words.trendTitle}>
      <Figure caption={words.trendNote} table={() => <Walks bed={view.bed.id} walks={view.walks} />}>
        <TwoTraits heads={heads} buds={buds} />
      </Figure>
    </Section>
  );
}

function marksOf(walks: readonly TrendPoint[], trait: 'head' | 'buds', chosen: string): TrendMark[] {
  return walks
    .filter((point) => point[trait].known)
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

function Walks({ bed, walks }: { bed: string; walks: readonly TrendPoint[] }) {
  const words = supervisorWords.value.bed;
  return (
    <DataTable
      caption={words.trendTitle}
      captionUnseen
      rows={walks.toReversed()}
      keyOf={(point) => point.walk}
      columns={[
        {
          key: 'walk',
          title: words.trendWalk,
          heads: true,
          cell: (point) => <Link to={`/beds/${bed}?walk=${point.walk}`}>{dateTime(point.at)}</Link>,
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

/** What is to be known of a walk beside its numbers: it was not ended, or a trait jumped with another scout. */
function remarks(point: TrendPoint): string[] {
  const words = supervisorWords.value.bed;
  return [
    ...(point.whole ? [] : [words.notEnded]),
    ...(point.scout_changed ?? []).map((trait) => words.trendChanged(traitName(trait))),
  ];
}
