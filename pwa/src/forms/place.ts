/** Where a note belongs, and how its lots, beds and stretches are called. */
import type { Lot, Span } from '../../../schema/types';
import { firstReading } from '../journal/inbox/arriving';
import { spansOf } from '../journal/records/input';
import { beds, lots, spans, stock, type Plain } from '../journal/records/registers';
import { nameOfBed } from '../words/names';
import { workWords } from '../words/rooms';

export interface Location {
  lot: string;
  bed: string;
}

export function placeIn(query: URLSearchParams): Location {
  return { lot: query.get('lot') ?? '', bed: query.get('bed') ?? '' };
}

/** The address of a form (or, without a name, of the sheet) for a place. */
export function addressOf(form: string, place: Partial<Location>, more: Record<string, string> = {}): string {
  const query = new URLSearchParams();
  for (const [name, value] of Object.entries({ lot: place.lot, bed: place.bed, ...more })) {
    if (value) query.set(name, value);
  }
  const text = query.toString();
  return `/work${form === '' ? '' : `/${form}`}${text === '' ? '' : `?${text}`}`;
}

/** Lots that say anything of themselves: one whose every entry was struck out is none. */
export function knownLots(): Plain<Lot>[] {
  return [...lots.value.values()]
    .filter((lot) => lot.tag !== undefined || lot.cultivar !== undefined)
    .sort((a, b) => (a.tag ?? '').localeCompare(b.tag ?? '', 'en', { numeric: true }));
}

/** All beds in use by name; those named here come first, as the ones that a form is most often about. */
export function knownBeds(first: readonly string[] = []): { id: string; name: string }[] {
  return [...beds.value.values()]
    .filter((bed) => bed.name !== undefined && (bed.retired !== true || spansOf(bed.id).length > 0))
    .map((bed) => ({ id: bed.id, name: nameOfBed(bed.id) }))
    .sort(
      (a, b) =>
        Number(first.includes(b.id)) - Number(first.includes(a.id)) ||
        a.name.localeCompare(b.name, 'en', { numeric: true }),
    );
}

/** The lots of a bed, from the entry end on, each once. */
export function lotsOn(bed: string): string[] {
  return [...new Set(spansOf(bed).flatMap((span) => span.lot ?? []))];
}

/** The stretches that a lot stands on now. */
export function stretchesOf(lot: string): Plain<Span>[] {
  return [...spans.value.values()]
    .filter((span) => span.lot === lot && span.bed !== undefined && span.ended !== true)
    .sort((a, b) => nameOfBed(a.bed ?? '').localeCompare(nameOfBed(b.bed ?? ''), 'en', { numeric: true }));
}

/** True of a lot that was counted, has no pot left and stands on no bed: the twin of isGone at the server. */
export function isGone(lot: string): boolean {
  return stock.value.get(lot)?.pots === 0 && stretchesOf(lot).length === 0;
}

export function stretchName(span: Plain<Span>): string {
  return workWords.value.work.pick.stretchOn(nameOfBed(span.bed ?? ''), span.from_row ?? 1, span.to_row ?? 1);
}

/**
 * Pots of a lot on a stretch ("" for on no bed) by the ledger; undefined where nobody has counted any in, and while records still arrive:
 * until the last loss is here there are too many.
 */
export function standing(lot: string, span: string): number | undefined {
  return firstReading.value === undefined ? stock.value.get(lot)?.by_span[span] : undefined;
}

/** Another lot that stands on any of these rows. */
export function overlapping(bed: string, from: number, to: number, lot: string): string | undefined {
  return spansOf(bed).find(
    (span) => span.lot !== lot && (span.from_row ?? 1) <= to && from <= (span.to_row ?? Number.POSITIVE_INFINITY),
  )?.lot;
}

/** The beds that a lot stands on now, each once. */
export function bedsOf(lot: string): string[] {
  return [...new Set(stretchesOf(lot).flatMap((span) => span.bed ?? []))];
}

/** A lot's bed, where it stands on exactly one. */
export function onlyBed(lot: string): string {
  const [first = '', ...others] = bedsOf(lot);
  return others.length === 0 ? first : '';
}
