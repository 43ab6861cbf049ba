/** How beds and lots are called, out of the records on the phone. */
import { beds, houses, lots } from '../journal/records/registers';
import { appWords } from '.';

export function nameOfBed(id: string): string {
  const bed = beds.value.get(id);
  if (!bed) return appWords.value.common.unknown;
  return appWords.value.scout.bedName(houses.value.get(bed.house ?? '')?.name ?? '', bed.name ?? '');
}

export function nameOfHouse(id: string): string {
  return houses.value.get(id)?.name ?? appWords.value.common.unknown;
}

export function nameOfLot(id: string): string {
  const lot = lots.value.get(id);
  return lotLine(lot ?? {}) || appWords.value.common.unknown;
}

/** A lot by its tag and cultivar, as a record or a page of the server has them. */
export function lotLine({ tag = '', cultivar = '' }: { tag?: string; cultivar?: string }): string {
  return appWords.value.scout.lotLine(tag, cultivar);
}
