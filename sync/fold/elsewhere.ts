/** Which lots stand elsewhere than in the houses that a scout's phone has the notes of; the twin of elsewhere.go. */
import type { Record as Folded } from '../../schema/types';
import { endedAt, valuesOf } from './ownHouses';

/**
 * The lots that stand in none of these houses, and have not stood in one since a time: each has a stretch of bed, and every stretch lies on a
 * bed of another house, or was ended by one undisputed write no later than that, while the lot stands on a bed of another house. Where
 * people disagree, each of the values counts. A bed that nobody has written down or put into a house may be in one of these, and so may any
 * lot whose stretch cannot be read: then there are none, as for no houses.
 * @param since ms since 1970
 */
export function elsewhere(
  spans: readonly (Folded | undefined)[],
  beds: readonly (Folded | undefined)[],
  houses: ReadonlySet<string>,
  since: number,
): Set<string> {
  if (houses.size === 0 || spans.some((span) => !span?.register)) return new Set();
  const away = new Set<string>();
  for (const bed of beds) {
    const { ids, sure } = idsOf(bed, 'house');
    if (bed && sure && !ids.some((id) => houses.has(id))) away.add(bed.key.slice('bed:'.length));
  }
  const [here, left, there] = [new Set<string>(), new Set<string>(), new Set<string>()];
  const lots = new Set<string>();
  for (const span of spans) {
    const { ids, sure } = idsOf(span, 'bed');
    const ended = endedAt(span);
    const isAway = sure && ids.every((bed) => away.has(bed));
    for (const lot of idsOf(span, 'lot').ids) {
      lots.add(lot);
      if (!isAway) (ended <= since ? left : here).add(lot);
      else if (ended === Infinity) there.add(lot);
    }
  }
  for (const lot of lots) if (here.has(lot) || (left.has(lot) && !there.has(lot))) lots.delete(lot);
  return lots;
}

/** The ids that stand for a field. Sure is false where there is none, or where somebody says that it is empty. */
function idsOf(record: Folded | undefined, name: string): { ids: string[]; sure: boolean } {
  const values = valuesOf(record?.register?.fields[name]);
  const ids = values.filter((value): value is string => typeof value === 'string' && value !== '');
  return { ids, sure: ids.length > 0 && ids.length === values.length };
}
