import type { BedBrief, HouseView, Share } from '../../../../../schema/types';
import { DataTable } from '../../../parts/DataTable';
import { Link } from '../../../router';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { ago, estimate, percent, points, untilWhen } from '../../../words/format';
import { briefingWords } from '../../../words/briefing';
import { lotLine } from '../../../words/names';
import { bedName, isClosed, lastWalked, traitName, whyDue } from '../names';
import { toBed } from './place';

interface Row {
  bed: BedBrief;
  house: string;
}

/** When the bed was last walked, how far that walk came if it was left early, and beside it the walk under way. */
function walked(bed: BedBrief): string {
  const inProgress = bed.under_way;
  if (bed.last_walk_at === 0) return supervisorWords.value.pages.overview.never;
  return [
    bed.unfinished ? lastWalked(bed) : ago(bed.last_walk_at),
    inProgress ? briefingWords.value.briefing.walkingShort(inProgress.seen, inProgress.planned) : '',
  ]
    .filter(Boolean)
    .join('; ');
}

/** How many pots of those checked show it, with the interval, in as few words as a column of forty beds takes. */
function Shown({ of }: { of: Share | undefined }) {
  const words = supervisorWords.value.pages.overview.table;
  if (!of?.known || of.n === 0) return <>{appWords.value.common.notLookedAt}</>;
  const { low, high } = of.interval;
  return (
    <>
      {words.pots(of.x, of.n)}{' '}
      <span class="quiet nowrap">
        {of.x === 0 ? words.upTo(percent(high)) : words.between(points(low), percent(high))}
      </span>
    </>
  );
}

/** All beds as a table, sortable. */
export function BedsTable({ houses, shown }: { houses: readonly HouseView[]; shown: ReadonlySet<string> }) {
  const words = supervisorWords.value.pages.overview.table;
  const rows = houses.flatMap((house) =>
    house.beds
      .filter((bed) => shown.has(bed.id))
      .map((bed): Row => ({ bed, house: supervisorWords.value.pages.houseName(house.name) })),
  );
  const { closed } = supervisorWords.value.pages.overview;
  const looked = appWords.value.common.notLookedAt;
  return (
    <DataTable
      caption={supervisorWords.value.pages.overview.title}
      captionUnseen
      rows={rows}
      keyOf={({ bed }) => bed.id}
      columns={[
        {
          key: 'bed',
          title: words.bed,
          heads: true,
          by: ({ bed }) => bed.name,
          cell: ({ bed }) => <Link to={toBed(bed.id)}>{bedName(bed.name)}</Link>,
        },
        { key: 'house', title: words.house, by: ({ house }) => house, cell: ({ house }) => house },
        { key: 'lots', title: words.lots, cell: ({ bed }) => bed.spans.map(lotLine).join('; ') },
        {
          key: 'uniformity',
          title: words.uniformity,
          numeric: true,
          whole: true,
          by: ({ bed }) => (bed.score?.uniformity.known ? bed.score.uniformity.value : -1),
          cell: ({ bed }) => (bed.score ? estimate(bed.score.uniformity, points) : looked),
        },
        {
          key: 'limitingTrait',
          title: words.limitingTrait,
          cell: ({ bed }) => traitName(bed.score?.limiting_trait),
        },
        {
          key: 'n',
          title: words.n,
          numeric: true,
          by: ({ bed }) => bed.score?.seen ?? 0,
          cell: ({ bed }) => bed.score?.seen ?? 0,
        },
        {
          key: 'chlorosis',
          title: words.chlorosis,
          by: ({ bed }) => bed.score?.chlorosis.value ?? -1,
          cell: ({ bed }) => <Shown of={bed.score?.chlorosis} />,
        },
        {
          key: 'rot',
          title: words.rot,
          by: ({ bed }) => bed.score?.rot.value ?? -1,
          cell: ({ bed }) => <Shown of={bed.score?.rot} />,
        },
        {
          key: 'walked',
          title: words.walked,
          by: ({ bed }) => bed.last_walk_at,
          cell: ({ bed }) => walked(bed),
        },
        {
          key: 'due',
          title: words.due,
          cell: ({ bed }) => (isClosed(bed) ? closed(untilWhen(bed.closed_until)) : whyDue(bed)),
        },
      ]}
    />
  );
}
