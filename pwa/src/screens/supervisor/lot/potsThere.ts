/** What a booking asks for beside what is on record: who books more is asked about it, and may mean it. */
import { cropKey } from '../../../../../sync/bed/crop';
import { lots, stock } from '../../../journal/records/registers';
import { supervisorWords } from '../../../words/supervisor';

/** What a booking is for: a lot, or any lot of a crop and pot size ('' for any cultivar) that ships in a week. */
export interface BookedOf {
  lot: string;
  crop: string;
  cultivar: string;
  potMM: number;
  week: string;
}

/** A sentence where more is booked than the pots on record, all of them; undefined where there are enough, or somebody has still to count. */
export function moreThanThere(pots: number, of: BookedOf): string | undefined {
  const ids = of.lot === '' ? lotsOf(of) : [of.lot];
  const counts = ids.map((id) => stock.value.get(id)?.pots);
  if (counts.includes(undefined)) return undefined;
  const there = counts.reduce<number>((sum, count) => sum + (count ?? 0), 0);
  return pots > there ? supervisorWords.value.promise.asksMore(there) : undefined;
}

function lotsOf({ crop, cultivar, potMM, week }: BookedOf): string[] {
  return [...lots.value.values()].flatMap((lot) => {
    const isOne =
      cropKey(lot.crop ?? '') === cropKey(crop) &&
      (cultivar === '' || cropKey(lot.cultivar ?? '') === cropKey(cultivar)) &&
      lot.pot_mm === potMM &&
      lot.ship_week === week;
    return isOne && !lot.stock && !lot.shipped_on ? [lot.id] : [];
  });
}
