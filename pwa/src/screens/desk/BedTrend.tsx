import type { BedView, TrendPoint } from '../../../../schema/types';
import { DataTable } from '../../parts/DataTable';
import { Figure } from '../../parts/Figure';
import { Trend } from '../../parts/Trend';
import { Link } from '../../router';
import { t } from '../../words';
import { d } from '../../words/desk';
import { dateTime, estimate, points, share } from '../../words/format';
import { Section } from './Page';

/** Uniformity walk by walk, with a line where another scout took over. */
export function BedTrend({ view }: { view: BedView }) {
  const words = d.value.bed;
  const told = view.walks.filter((point) => point.uniformity.known);
  const first = told[0];
  const last = told.at(-1);
  if (!first || !last) return null;
  return (
    <Section title={words.trendTitle}>
      <Figure caption={words.trendNote} table={() => <Walks bed={view.bed.id} walks={view.walks} />}>
        <Trend
          name={words.trendName(told.length, points(first.uniformity.value), points(last.uniformity.value))}
          write={points}
          marks={told.map((point) => ({
            id: point.walk,
            at: point.at,
            value: point.uniformity.value,
            interval: point.uniformity.interval,
            scout: point.person_name,
            changed: point.scout_changed,
            chosen: point.walk === view.walk,
          }))}
        />
      </Figure>
    </Section>
  );
}

function Walks({ bed, walks }: { bed: string; walks: readonly TrendPoint[] }) {
  const words = d.value.bed;
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
          cell: (point) => (point.scout_changed ? `${point.person_name} (${words.trendChanged})` : point.person_name),
        },
        {
          key: 'u',
          title: t.value.common.uniformity,
          numeric: true,
          cell: (point) => estimate(point.uniformity, points),
        },
        { key: 'n', title: words.seen, numeric: true, cell: (point) => point.uniformity.n },
        { key: 'c', title: words.chlorosis, cell: (point) => share(point.chlorosis) },
        { key: 'r', title: words.rot, cell: (point) => share(point.rot) },
      ]}
    />
  );
}
