import type { Event, LotView, StockLine } from '../../../../../schema/types';
import { DataTable } from '../../../parts/DataTable';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { number, stamp } from '../../../words/format';
import { useBedNames } from '../names';
import { Section } from '../Page';
import { Plants } from './StockPlants';
import { describeEntry, signed, word } from '../../../words/entry';

/** The lot's pots as they were counted in, lost, moved and counted again. */
export function CountLedger({ view }: { view: LotView }) {
  const words = supervisorWords.value.lot;
  const nameOf = useBedNames();
  const stock = view.stock.stock;
  const lines = linesOf(view);
  if (!stock || lines.length === 0) {
    return (
      <Section id="counts" title={words.countsTitle}>
        <p class="quiet">{words.countsNone}</p>
      </Section>
    );
  }
  const what = (line: Line) =>
    [
      line.taken ??
        (line.counted === undefined ? word(words.reason, line.reason) : words.recounted(number(line.counted))),
      line.words ?? '',
      line.settled ? words.replaced : '',
      line.voided ? words.voided(word(appWords.value.common.voidWhy, line.voided.why)) : '',
    ]
      .filter(Boolean)
      .join(' · ');
  return (
    <Section id="counts" title={words.countsTitle}>
      <p>
        <b>{words.countsSum(stock.pots)}</b> <span class="small quiet">{words.countsNote}</span>
      </p>
      <Plants view={view} />
      <DataTable
        caption={words.countsTitle}
        captionUnseen
        stacks
        rows={lines}
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
          {
            key: 'where',
            title: words.countWhere,
            cell: (line) => (line.taken ? '' : spanName(view, line.span, nameOf)),
          },
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

interface Line extends StockLine {
  /** Cuttings that were taken of the lot's plants, in words: they change no pot. */
  taken?: string;
}

/** The ledger's lines, newest first, with the cuttings that were taken from the lot among them. */
function linesOf(view: LotView): Line[] {
  const taken = view.facts.flatMap(({ fact }): Line[] => {
    if (fact?.kind !== 'event' || (fact.body as Event).cuttings === undefined) return [];
    const line = { reason: '', change: 0, by: fact.by, taken: describeEntry('event', fact.body) };
    return [fact.voided ? { ...line, voided: fact.voided } : line];
  });
  const lines: Line[] = [...(view.stock.stock?.lines ?? []).toReversed(), ...taken];
  return lines.sort((a, b) => b.by.stamp.at - a.by.stamp.at);
}

function spanName(view: LotView, id: string | undefined, nameOf: (bed: string) => string): string {
  if (!id) return supervisorWords.value.lot.offBed;
  const span = view.spans.find((each) => each.span === id);
  const bed = nameOf(view.bed_of[id] ?? '');
  return span ? supervisorWords.value.lot.spanOf(span.from_row, span.to_row, bed) : bed;
}
