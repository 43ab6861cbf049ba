import type { LotView, StockLine } from '../../../../../schema/types';
import { DataTable } from '../../../parts/DataTable';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { number, stamp } from '../../../words/format';
import { useBedNames } from '../names';
import { Section } from '../Page';
import { Plants } from './StockPlants';
import { signed, word } from '../../../words/entry';

/** The lot's pots as they were counted in, lost, moved and counted again. */
export function CountLedger({ view }: { view: LotView }) {
  const words = supervisorWords.value.lot;
  const nameOf = useBedNames();
  const stock = view.stock.stock;
  if (!stock || stock.lines.length === 0) {
    return (
      <Section title={words.countsTitle}>
        <p class="quiet">{words.countsNone}</p>
      </Section>
    );
  }
  const what = (line: StockLine) =>
    [
      line.counted === undefined ? word(words.reason, line.reason) : words.recounted(number(line.counted)),
      line.words ?? '',
      line.settled ? words.replaced : '',
      line.voided ? words.voided(word(appWords.value.common.voidWhy, line.voided.why)) : '',
    ]
      .filter(Boolean)
      .join(' · ');
  return (
    <Section title={words.countsTitle}>
      <p>
        <b>{words.countsSum(stock.pots)}</b> <span class="small quiet">{words.countsNote}</span>
      </p>
      <Plants view={view} />
      <DataTable
        caption={words.countsTitle}
        captionUnseen
        stacks
        rows={stock.lines.toReversed()}
        keyOf={(line) => `${line.by.entry} ${line.span ?? ''} ${line.change ?? ''}`}
        rowClass={(line) => (line.voided || line.settled ? 'undone' : '')}
        columns={[
          {
            key: 'when',
            title: words.countWhen,
            whole: true,
            heads: true,
            by: (line) => line.by.stamp.at,
            cell: (line) => stamp(line.by.stamp),
          },
          { key: 'where', title: words.countWhere, cell: (line) => spanName(view, line.span, nameOf) },
          { key: 'what', title: words.countWhat, cell: what },
          {
            key: 'change',
            title: words.countChange,
            numeric: true,
            cell: (line) => (line.counted === undefined ? signed(line.change ?? 0) : `= ${number(line.counted)}`),
          },
          {
            key: 'by',
            title: words.countBy,
            cell: (line) => view.people[line.by.person] ?? appWords.value.common.unknown,
          },
        ]}
      />
    </Section>
  );
}

function spanName(view: LotView, id: string | undefined, nameOf: (bed: string) => string): string {
  if (!id) return supervisorWords.value.lot.offBed;
  const span = view.spans.find((each) => each.span === id);
  const bed = nameOf(view.bed_of[id] ?? '');
  return span ? supervisorWords.value.lot.spanOf(span.from_row, span.to_row, bed) : bed;
}
