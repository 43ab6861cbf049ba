import type { Estimate, LotPoint, LotView } from '../../../../../schema/types';
import { DataTable } from '../../../parts/DataTable';
import { Figure } from '../../../parts/Figure';
import { Trend, type TrendMark } from '../../../parts/Trend';
import { Link } from '../../../router';
import { supervisorWords } from '../../../words/supervisor';
import { dateTime, day, estimate, number, percent, points } from '../../../words/format';
import { ToGrades } from '../GradeOut';
import { Section } from '../Page';
import { TwoTraits } from '../TwoTraits';

/** How even the lot was on each walk, and how much of it will make the first grade. */
export function LotTrends({ view }: { view: LotView }) {
  return (
    <div class="columns">
      <Even view={view} />
      <FirstGrade view={view} />
    </div>
  );
}

function Even({ view }: { view: LotView }) {
  const words = supervisorWords.value.lot;
  const heads = marksOf(view.scores, 'head');
  const buds = marksOf(view.scores, 'buds');
  if (heads.length + buds.length === 0) {
    return (
      <Section id="even" title={words.evenTitle}>
        <p class="quiet">{words.evenNone}</p>
      </Section>
    );
  }
  return (
    <Section id="even" title={words.evenTitle}>
      <Figure
        caption={words.evenNote}
        table={() => (
          <DataTable
            caption={words.evenTitle}
            captionUnseen
            rows={view.scores.filter((point) => evenOf(point, 'head') ?? evenOf(point, 'buds')).toReversed()}
            keyOf={keyOf}
            columns={[
              {
                key: 'walk',
                title: words.walk,
                heads: true,
                cell: (point) => <Link to={`/beds/${point.bed}?walk=${point.walk}`}>{dateTime(point.at)}</Link>,
              },
              { key: 'scout', title: words.scout, cell: (point) => point.person_name },
              { key: 'seen', title: words.seen, numeric: true, cell: (point) => number(point.score.seen) },
              {
                key: 'head',
                title: supervisorWords.value.bed.headEven,
                numeric: true,
                cell: (point) => written(point, 'head'),
              },
              {
                key: 'buds',
                title: supervisorWords.value.bed.budsEven,
                numeric: true,
                cell: (point) => written(point, 'buds'),
              },
            ]}
          />
        )}
      >
        <TwoTraits heads={heads} buds={buds} />
      </Figure>
    </Section>
  );
}

type Trait = 'head' | 'buds';

const keyOf = (point: LotPoint) => `${point.walk} ${point.bed}`;

function evenOf(point: LotPoint, trait: Trait): Estimate | undefined {
  return point.score.traits.find((each) => each.trait === trait && each.uniformity.known)?.uniformity;
}

function written(point: LotPoint, trait: Trait): string {
  const even = evenOf(point, trait);
  return even ? estimate(even, points) : '';
}

function marksOf(scores: readonly LotPoint[], trait: Trait): TrendMark[] {
  return scores.flatMap((point) => {
    const even = evenOf(point, trait);
    return even ? [{ id: keyOf(point), at: point.at, value: even.value, interval: even.interval }] : [];
  });
}

function FirstGrade({ view }: { view: LotView }) {
  const words = supervisorWords.value.lot;
  const graded = view.scores.flatMap((point) => {
    const out = point.score.grade_out;
    const [best] = out?.grades ?? [];
    return out && best && out.n > 0 && out.pots_on_bed > 0 ? [{ point, best, standing: out.pots_on_bed }] : [];
  });
  const early = view.scores.findLast(({ score }) => score.grade_out?.promise.hold === 'early')?.score.grade_out;
  if (graded.length === 0 && early) {
    return (
      <Section title={words.gradeTitle}>
        <p class="quiet">{supervisorWords.value.promise.early(day(early.promise.graded_from ?? ''))}</p>
      </Section>
    );
  }
  if (graded.length === 0) {
    return (
      <Section title={words.gradeTitle}>
        <p class="quiet">{words.gradeNone}</p>
        <ToGrades crops={[view.lot.crop]} />
      </Section>
    );
  }
  const name = graded[0]?.best.name ?? '';
  return (
    <Section title={`${words.gradeTitle}: ${name}`}>
      <Figure
        caption={words.gradeNote}
        table={() => (
          <DataTable
            caption={words.gradeTitle}
            captionUnseen
            rows={graded.toReversed()}
            keyOf={({ point }) => `${point.walk} ${point.bed}`}
            columns={[
              { key: 'walk', title: words.walk, heads: true, cell: ({ point }) => dateTime(point.at) },
              {
                key: 'expected',
                title: words.expected,
                numeric: true,
                cell: ({ best }) =>
                  supervisorWords.value.bed.expected(number(best.expected), number(best.low), number(best.high)),
              },
            ]}
          />
        )}
      >
        <Trend
          name={`${words.gradeTitle}: ${graded.map(({ best, standing }) => percent(best.expected / standing)).join(', ')}`}
          write={percent}
          axis={words.gradeAxis}
          count={supervisorWords.value.bed.walks(graded.length)}
          marks={graded.map(({ point, best, standing }) => ({
            id: `${point.walk} ${point.bed}`,
            at: point.at,
            value: best.expected / standing,
            interval: { low: best.low / standing, high: best.high / standing, known: true },
          }))}
        />
      </Figure>
    </Section>
  );
}
