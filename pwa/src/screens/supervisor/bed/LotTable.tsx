import type { BedScore, BedView, LotScore, SpanView, TraitScore } from '../../../../../schema/types';
import { DataTable, type Column } from '../../../parts/DataTable';
import { Link } from '../../../router';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { estimate, lengthEstimate, number, percentEstimate, points, share } from '../../../words/format';
import { lotLine } from '../../../words/names';
import { Section } from '../Page';

interface Row {
  score: LotScore;
  spans: SpanView[];
}

/** The lots of the bed side by side, every number with its interval and n. */
export function LotTable({ view, score }: { view: BedView; score: BedScore }) {
  const words = supervisorWords.value.bed;
  const rows = score.lots.map((lot): Row => ({
    score: lot,
    spans: view.bed.spans.filter((span) => span.lot === lot.lot),
  }));
  const looked = appWords.value.common.notLookedAt;
  const of = (row: Row, trait: string) => row.score.traits.find((each) => each.trait === trait && each.n > 0);
  const column = (key: string, title: string, trait: string, cell: (measured: TraitScore) => string): Column<Row> => ({
    key,
    title,
    numeric: true,
    cell: (row) => {
      const measured = of(row, trait);
      return measured ? cell(measured) : looked;
    },
  });
  return (
    <Section title={words.lotsTitle}>
      <DataTable
        caption={words.lotsTitle}
        captionUnseen
        stacks
        rows={rows}
        keyOf={(row) => row.score.lot}
        columns={[
          {
            key: 'lot',
            title: words.lot,
            heads: true,
            cell: (row) => (
              <Link to={`/lots/${row.score.lot}`}>{row.spans[0] ? lotLine(row.spans[0]) : words.lot}</Link>
            ),
          },
          {
            key: 'rows',
            title: words.rows,
            cell: (row) =>
              row.spans.map((span) => appWords.value.common.to(number(span.from_row), number(span.to_row))).join(', '),
          },
          { key: 'standing', title: words.standing, numeric: true, cell: (row) => number(row.score.pots_on_bed) },
          { key: 'seen', title: words.seen, numeric: true, cell: (row) => number(row.score.seen) },
          column('hm', words.headMean, 'head', (each) => lengthEstimate(each.mean)),
          column('hc', words.headCv, 'head', (each) => percentEstimate(each.cv, 1)),
          column('hu', words.headEven, 'head', (each) => estimate(each.uniformity, points)),
          column('hs', words.headCounted, 'head', (each) => share(each.counted)),
          column('bm', words.budsMean, 'buds', (each) => estimate(each.mean, (value) => number(value, 1))),
          column('bc', words.budsCv, 'buds', (each) => percentEstimate(each.cv, 1)),
          column('bu', words.budsEven, 'buds', (each) => estimate(each.uniformity, points)),
          column('bs', words.budsCounted, 'buds', (each) => share(each.counted)),
        ]}
      />
    </Section>
  );
}
