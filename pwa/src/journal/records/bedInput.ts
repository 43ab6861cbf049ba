/** Puts together what a bed is scored and a walk planned from, and says which lot a pot is of; apart from input.ts, because no first screen needs it. */
import type { BedInput, Lot, LotFact, Span } from '../../../../schema/types';
import { bedInput } from '../../../../sync/bed/input';
import { everySpanOf, judgedOf, spansOf } from './input';
import type { PotRow } from './read';
import { beds, lots, stock, type Plain } from './registers';

/** What a bed's newest walk is judged from, as the server has it. Undefined for a bed that no record names. */
export function inputOf(bed: string, pots: readonly PotRow[]): BedInput | undefined {
  const plain = beds.value.get(bed);
  if (!plain) return undefined;
  const onBed = everySpanOf(bed).map((span) => {
    const counted = stock.value.get(span.lot ?? '')?.by_span[span.id];
    return counted === undefined ? { span } : { span, counted };
  });
  const ids = new Set([...onBed.map(({ span }) => span.lot ?? ''), ...pots.map((pot) => pot.now.lot)]);
  const facts = Object.fromEntries([...ids].map((id) => [id, factOf(lots.value.get(id))]));
  return bedInput({ id: bed, bed: plain, spans: onBed, lots: facts }, pots, true);
}

function factOf(lot: Plain<Lot> | undefined): LotFact {
  return {
    pot_mm: lot?.pot_mm ?? 0,
    judged: judgedOf(lot?.crop),
    ...(lot?.ship_week !== undefined && { ship_week: lot.ship_week }),
    ...(lot?.shipped_on !== undefined && { shipped: true }),
  };
}

/** The lot that stands at a row of a bed, or the nearest one where the row is bare. */
export function lotAt(bed: string, row: number): string | undefined {
  const rowsOff = (span: Plain<Span>) => Math.max(0, (span.from_row ?? 0) - row, row - (span.to_row ?? 0));
  return [...spansOf(bed)].sort((a, b) => rowsOff(a) - rowsOff(b))[0]?.lot;
}
