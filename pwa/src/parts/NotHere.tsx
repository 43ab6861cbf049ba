/** Said on a bed or a lot whose notes this phone has not: which house it is in, and how to open that. */
import { away, comingTo, isCarried, isLacking } from '../journal/records/carried';
import { beds, lots } from '../journal/records/registers';
import { nameOfHouse } from '../words/names';
import { amendWords } from '../words/rooms';
import { HouseButtons, HouseState } from './House';
import { whenHere } from './whenHere';

export function BedNotHere({ bed }: { bed: string }) {
  const house = beds.value.get(bed)?.house;
  if (!isLacking(bed)) return null;
  if (comingTo(bed).length === 0) return <Shipped />;
  return isCarried(bed) ? <Coming /> : <Closed house={house ?? ''} said={amendWords.value.houses.bed} />;
}

/** True where all notes of a lot are here, as far as it has not been shipped: what was let go of those the bed's page says. */
export function isLotHere(lot: string): boolean {
  return !away.value.has(lot) || lots.value.get(lot)?.shipped_on !== undefined;
}

/** @param on the beds on which the lot stands */
export function LotNotHere({ lot, on }: { lot: string; on: readonly string[] }) {
  if (isLotHere(lot)) return null;
  const here = on.find(isCarried);
  const house = beds.value.get(here ?? on[0] ?? '')?.house;
  return here === undefined && house !== undefined ? (
    <Closed house={house} said={amendWords.value.houses.lot} />
  ) : (
    <Coming />
  );
}

function Closed({ house, said }: { house: string; said: (house: string) => string }) {
  return (
    <section class="notice">
      <p>{said(nameOfHouse(house))}</p>
      <p>
        <HouseState house={house} />
      </p>
      <HouseButtons house={house} />
    </section>
  );
}

/** Lots that were shipped are fetched by hand, below on the bed's page. */
function Shipped() {
  return (
    <section class="notice">
      <p>{amendWords.value.houses.shipped}</p>
    </section>
  );
}

/** Wanted here, and not here yet. A house that was opened can be closed again on Today. */
function Coming() {
  return (
    <section class="notice">
      <p>
        {amendWords.value.houses.notYet} {whenHere(amendWords.value.earlier.coming)}
      </p>
    </section>
  );
}
