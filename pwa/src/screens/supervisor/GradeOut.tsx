import type { BedScore, BedView, GradeOut as Graded, LotScore } from '../../../../schema/types';
import { DataTable } from '../../parts/DataTable';
import { IntervalBar } from '../../parts/IntervalBar';
import { Link } from '../../router';
import { supervisorWords } from '../../words/supervisor';
import { list, number } from '../../words/format';
import { lotLine } from '../../words/names';
import { headWords } from '../../words/es/head';
import { headsFromPhotosOnly } from './bed/headPhotos';
import { addressOfCrop } from './crops/crops';
import { Section } from './Page';
import { PromiseLines, Undecided } from './PromiseLines';

/** What the standing pots will grade to, lot by lot, and how many may be promised. */
export function GradeOut({ view, score }: { view: BedView; score: BedScore }) {
  const words = supervisorWords.value.bed;
  const estimated = headsFromPhotosOnly(view).size;
  const graded = score.lots.flatMap((lot) => (lot.grade_out && lot.seen > 0 ? [{ lot, out: lot.grade_out }] : []));
  return (
    <Section title={words.gradeTitle}>
      {graded.length === 0 ? (
        <>
          <p class="quiet">{words.gradeNone}</p>
          <ToGrades crops={view.bed.spans.map((span) => span.crop)} />
        </>
      ) : (
        <>
          <div class="columns">
            {graded.map(({ lot, out }) => (
              <OneLot key={lot.lot} view={view} lot={lot} out={out} />
            ))}
          </div>
          {(score.together ?? []).map((promise) => (
            <div key={promise.lots.join(' ')} class="graded together">
              <h3>{supervisorWords.value.promise.together(list(promise.lots.map((lot) => labelOf(view, lot))))}</h3>
              <PromiseLines promise={promise} note={supervisorWords.value.promise.togetherNote} />
            </div>
          ))}
        </>
      )}
      {estimated > 0 && <p class="small">{headWords.value.photoOnly(estimated)}</p>}
    </Section>
  );
}

/** The way to where grades are set, for each crop that stands here. */
export function ToGrades({ crops }: { crops: readonly string[] }) {
  return (
    <p class="actions">
      {[...new Set(crops)].filter(Boolean).map((crop) => (
        <Link key={crop} to={addressOfCrop(crop)} class="button plain tap">
          {supervisorWords.value.crops.setGrades(crop)}
        </Link>
      ))}
    </p>
  );
}

function OneLot({ view, lot, out }: { view: BedView; lot: LotScore; out: Graded }) {
  const words = supervisorWords.value.bed;
  const costs = [...out.costs].filter((cost) => cost.fail > 0).sort((a, b) => b.fail - a.fail);
  const leans = view.leans?.[lot.lot] ?? 0;
  const isMixed = view.bed.spans.some((each) => each.lot !== lot.lot);
  return (
    <div class="graded">
      <h3>
        <Link to={`/lots/${lot.lot}`}>{labelOf(view, lot.lot)}</Link>
      </h3>
      <PromiseLines promise={out.promise} note={isMixed ? supervisorWords.value.promise.alone : ''} known={lot} />
      {leans > 0 && out.promise.lines.length > 0 && <p>{supervisorWords.value.promise.leans(leans)}</p>}
      {out.grades.length > 0 && <Expected out={out} />}
      {costs.length > 0 && (
        <p>{words.costs(list(costs.slice(0, 3).map((cost) => words.cost(lineName(cost.line), cost.fail, cost.n))))}</p>
      )}
      {out.grades.length > 0 && <Undecided count={out.undecided} lacks={out.lacks} />}
    </div>
  );
}

function labelOf(view: BedView, lot: string): string {
  const span = view.bed.spans.find((each) => each.lot === lot);
  return span ? lotLine(span) : supervisorWords.value.bed.lot;
}

/** What the standing pots are expected to make, from those seen whole. */
function Expected({ out }: { out: Graded }) {
  const words = supervisorWords.value.bed;
  return (
    <DataTable
      caption={words.gradeOf(out.n, number(out.pots_on_bed))}
      rows={out.grades}
      keyOf={(grade) => grade.name}
      columns={[
        { key: 'grade', title: words.grade, heads: true, cell: (grade) => grade.name || words.gradeUnder },
        { key: 'seen', title: words.gradeSeen, numeric: true, cell: (grade) => number(grade.seen) },
        {
          key: 'expected',
          title: words.gradeExpected,
          cell: (grade) => {
            const said = words.expected(number(grade.expected), number(grade.low), number(grade.high));
            return (
              <>
                {said}
                <IntervalBar
                  label={said}
                  value={grade.expected}
                  interval={{ low: grade.low, high: grade.high, known: true }}
                  to={Math.max(1, out.pots_on_bed)}
                />
              </>
            );
          },
        },
      ]}
    />
  );
}

export function lineName(line: string): string {
  const names: { [line: string]: string | undefined } = supervisorWords.value.bed.line;
  return names[line] ?? line;
}
