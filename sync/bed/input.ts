import { defaultJudged } from '../../schema/kinds.ts';
import type { Bed, BedInput, LotFact, LotOnBed, PotRecord, PotSeen, SpanRecord } from '../../schema/types.ts';

/** schema.BedRecords, with the bed and its spans as the phone holds them. */
export interface BedRecords {
  id: string;
  bed: Partial<Bed>;
  spans: readonly (Omit<SpanRecord, 'span'> & { span: Partial<SpanRecord['span']> })[];
  lots: Readonly<Record<string, LotFact>>;
}

/** What a bed is scored from and a walk of it is planned from: the twin of Input on the Go side, which says what counts. */
export function bedInput(records: BedRecords, pots: readonly PotRecord[], newest: boolean): BedInput {
  const { bed } = records;
  const input: BedInput = {
    bed: records.id,
    rows: bed.rows ?? 1,
    across: bed.across ?? 1,
    length_mm: bed.length_mm ?? 0,
    entry_end: bed.entry_end ?? '',
    far_end: bed.far_end ?? '',
    aisles: bed.aisles ?? 'near',
    lots: [],
    pots: potsSeen(pots),
  };
  const saw = new Set(input.pots.map((pot) => pot.now.lot));
  const unplaced = new Set(saw);
  for (const each of records.spans) {
    const lot = each.span.lot ?? '';
    const onlyIfSeen = !newest || each.span.ended === true;
    if (onlyIfSeen && !saw.has(lot)) continue;
    unplaced.delete(lot);
    input.lots.push(onSpan(each, factOf(records, lot), input));
  }
  for (const lot of [...unplaced].sort()) {
    input.lots.push({ lot, from_row: 1, to_row: input.rows, pots_on_bed: 0, ...factOf(records, lot) });
  }
  return input;
}

function factOf(records: BedRecords, lot: string): LotFact {
  return records.lots[lot] ?? { pot_mm: 0, judged: defaultJudged };
}

function onSpan({ span, counted, ...now }: BedRecords['spans'][number], fact: LotFact, input: BedInput): LotOnBed {
  const from_row = span.from_row ?? 1;
  const to_row = span.to_row ?? input.rows;
  const on: LotOnBed = { lot: span.lot ?? '', from_row, to_row, pots_on_bed: 0, ...now, ...fact };
  if (counted !== undefined) on.pots_on_bed = Math.max(0, counted);
  else if (span.ended !== true) {
    on.pots_on_bed = Math.max(0, to_row - from_row + 1) * input.across;
    on.uncounted = true;
  }
  return on;
}

/** Not struck out, as corrected, each by the person who first noted it. */
function potsSeen(pots: readonly PotRecord[]): PotSeen[] {
  return pots
    .filter((pot) => !pot.voided)
    .map(({ id, first, now, versions }) => ({
      id,
      person: first.person,
      at: first.stamp.at,
      now,
      ...(versions > 1 ? { checked: true } : {}),
    }));
}
