/** Said on a bed or a lot whose notes this phone has not: which house it is in, and how to open that. */
import { away, carried, isCarried, lackingOn } from '../journal/records/carried';
import { beds, houses, lots } from '../journal/records/registers';
import { appWords } from '../words';
import { amendWords } from '../words/rooms';
import { HouseButtons, HouseState } from './House';

/** True where all notes of a bed are here, as far as it is in one of this phone's houses. */
export function isBedHere(bed: string): boolean {
  return isCarried(bed) && lackingOn(bed).length === 0;
}

export function BedNotHere({ bed }: { bed: string }) {
  const house = beds.value.get(bed)?.house;
  if (isBedHere(bed)) return null;
  return isCarried(bed) ? <Coming house={house} /> : <Closed house={house ?? ''} said={amendWords.value.houses.bed} />;
}

/** True where notes of a lot that has not been shipped are at the server alone, or may be any day. */
export function isLotHere(lot: string, on: readonly string[]): boolean {
  if (!carried.value || lots.value.get(lot)?.shipped_on) return true;
  return !away.value.has(lot) && (on.length === 0 || on.some(isCarried));
}

/** @param on the beds on which the lot stands */
export function LotNotHere({ lot, on }: { lot: string; on: readonly string[] }) {
  if (isLotHere(lot, on)) return null;
  const bed = on.find((each) => !isCarried(each));
  if (bed === undefined || on.some(isCarried))
    return <Coming house={beds.value.get(on.find(isCarried) ?? '')?.house} />;
  return <Closed house={beds.value.get(bed)?.house ?? ''} said={amendWords.value.houses.lot} />;
}

function Closed({ house, said }: { house: string; said: (house: string) => string }) {
  return (
    <section class="notice">
      <p>{said(nameOf(house))}</p>
      <p>
        <HouseState house={house} />
      </p>
      <HouseButtons house={house} />
    </section>
  );
}

/** Wanted here, and not here yet. A house that was opened can be closed again on Today. */
function Coming({ house }: { house: string | undefined }) {
  return (
    <section class="notice">
      <p>{amendWords.value.houses.notYet(nameOf(house ?? ''))}</p>
    </section>
  );
}

function nameOf(house: string): string {
  return houses.value.get(house)?.name ?? appWords.value.common.unknown;
}
