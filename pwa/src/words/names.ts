/** How beds and lots are called, out of the records on the phone. */
import { cropKey } from '../../../sync/bed/crop';
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

/** A crop as it is shown: the two that everybody writes alike by their trade name in the language on the screen, others as the grower wrote them. */
export function nameOfCrop(crop: string): string {
  return appWords.value.common.crops[cropKey(crop)] ?? crop;
}
