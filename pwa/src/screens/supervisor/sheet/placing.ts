/** What a sheet is read against, and where its new beds lie in their house when it says only how large they are. */
import { computed } from '@preact/signals';
import type { Bed, EntryBody } from '../../../../../schema/types';
import { beds, houses, lots, spans, type Plain } from '../../../journal/records/registers';
import type { There } from './reading';

/** The nursery as it is. */
export const there = computed<There>(() => ({
  houses: [...houses.value.values()],
  beds: [...beds.value.values()],
  lots: [...lots.value.values()],
  spans: [...spans.value.values()],
}));

const AISLE_MM = 600;
/** So many beds are still easily found in one column of a plan. */
const ONE_COLUMN = 8;

type NewBed = EntryBody['bed'];

/** New beds one beside the other behind those that are there, in two columns where there are many. */
export function placed(fresh: readonly NewBed[], there: readonly Plain<Bed>[]): NewBed[] {
  const houses = new Set(fresh.map((bed) => bed.house));
  return [...houses].flatMap((house) => {
    const mine = fresh.filter((bed) => bed.house === house);
    const behind = there
      .filter((bed) => bed.house === house)
      .map((bed) => (bed.y_mm ?? 0) + (bed.width_mm ?? 0) + AISLE_MM);
    const top = Math.max(AISLE_MM, ...behind);
    const first = mine.length > ONE_COLUMN ? Math.ceil(mine.length / 2) : mine.length;
    const second = AISLE_MM + Math.max(...mine.slice(0, first).map((bed) => bed.length_mm ?? 0)) + 2 * AISLE_MM;
    return [...column(mine.slice(0, first), AISLE_MM, top), ...column(mine.slice(first), second, top)];
  });
}

function column(beds: readonly NewBed[], x: number, top: number): NewBed[] {
  let y = top;
  return beds.map((bed) => {
    const at = { x_mm: x, y_mm: y };
    y += (bed.width_mm ?? 0) + AISLE_MM;
    return { ...bed, ...at };
  });
}
