import type { LotPoint, LotView, TraitScore } from '../../../../schema/types';
import { DataTable } from '../../parts/DataTable';
import { Figure } from '../../parts/Figure';
import { Trend } from '../../parts/Trend';
import { Link } from '../../router';
import { t } from '../../words';
import { d } from '../../words/desk';
import { dateTime, day, estimate, number, percent, points } from '../../words/format';
import { ToGrades } from './GradeOut';
import { Section } from './Page';

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
  const words = d.value.lot;
  const told = view.scores.flatMap((point) => {
    const trait = weaker(point);
    return trait ? [{ point, trait }] : [];
  });
  const first = told[0];
  const last = told.at(-1);
  if (!first || !last) {
    return (
      <Section title={words.evenTitle}>
        <p class="quiet">{words.evenNone}</p>
      </Section>
    );
  }
  return (
    <Section title={words.evenTitle}>
      <Figure
        caption={words.evenNote}
        table={() => (
          <DataTable
            caption={words.evenTitle}
            captionUnseen
            rows={told.toReversed()}
            keyOf={({ point }) => `${point.walk} ${point.bed}`}
            columns={[
              {
                key: 'walk',
                title: words.walk,
                heads: true,
                cell: ({ point }) => <Link to={`/beds/${point.bed}?walk=${point.walk}`}>{dateTime(point.at)}</Link>,
              },
              { key: 'scout', title: words.scout, cell: ({ point }) => point.person_name },
              { key: 'seen', title: words.seen, numeric: true, cell: ({ point }) => number(point.score.seen) },
              {
                key: 'u',
                title: t.value.common.uniformity,
                numeric: true,
                cell: ({ trait }) => estimate(trait.uniformity, points),
              },
            ]}
          />
        )}
      >
        <Trend
          name={d.value.bed.trendName(
            told.length,
            points(first.trait.uniformity.value),
            points(last.trait.uniformity.value),
          )}
          write={points}
          marks={told.map(({ point, trait }) => ({
            id: `${point.walk} ${point.bed}`,
            at: point.at,
            value: trait.uniformity.value,
            interval: trait.uniformity.interval,
          }))}
        />
      </Figure>
    </Section>
  );
}

function FirstGrade({ view }: { view: LotView }) {
  const words = d.value.lot;
  const told = view.scores.flatMap((point) => {
    const out = point.score.grade_out;
    const [best] = out?.grades ?? [];
    return out && best && out.n > 0 && out.standing > 0 ? [{ point, best, standing: out.standing }] : [];
  });
  const early = view.scores.findLast(({ score }) => score.grade_out?.promise.hold === 'early')?.score.grade_out;
  if (told.length === 0 && early) {
    return (
      <Section title={words.gradeTitle}>
        <p class="quiet">{d.value.promise.early(day(early.promise.graded_from ?? ''))}</p>
      </Section>
    );
  }
  if (told.length === 0) {
    return (
      <Section title={words.gradeTitle}>
        <p class="quiet">{words.gradeNone}</p>
        <ToGrades crops={[view.lot.crop]} />
      </Section>
    );
  }
  const name = told[0]?.best.name ?? '';
  return (
    <Section title={`${words.gradeTitle}: ${name}`}>
      <Figure
        caption={words.gradeNote}
        table={() => (
          <DataTable
            caption={words.gradeTitle}
            captionUnseen
            rows={told.toReversed()}
            keyOf={({ point }) => `${point.walk} ${point.bed}`}
            columns={[
              { key: 'walk', title: words.walk, heads: true, cell: ({ point }) => dateTime(point.at) },
              {
                key: 'expected',
                title: words.expected,
                numeric: true,
                cell: ({ best }) => d.value.bed.expected(number(best.expected), number(best.low), number(best.high)),
              },
            ]}
          />
        )}
      >
        <Trend
          name={`${words.gradeTitle}: ${told.map(({ best, standing }) => percent(best.expected / standing)).join(', ')}`}
          write={percent}
          marks={told.map(({ point, best, standing }) => ({
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

/** The trait that a lot is judged by: the less even of those that were looked at. */
function weaker(point: LotPoint): TraitScore | undefined {
  return point.score.traits
    .filter((trait) => trait.uniformity.known)
    .sort((a, b) => a.uniformity.value - b.uniformity.value)[0];
}
