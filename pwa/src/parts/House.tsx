/** One house that is not this phone's by itself: what of it is here, and the buttons that open and close it. */
import { keepHouse } from '../journal/letgo/openHouse';
import { spansOf } from '../journal/records/input';
import { carried, comingTo } from '../journal/records/carried';
import { beds } from '../journal/records/registers';
import { Button } from './Button';
import { sayNotSaved } from './Toast';
import { access, online, queue } from '../state';
import { appWords } from '../words';
import { amendWords } from '../words/rooms';
import { whenHere } from './whenHere';

/** Beds of the house on which a lot stands. */
export function bedsInUse(house: string): number {
  return bedsOf(house).filter((bed) => spansOf(bed).length > 0).length;
}

function bedsOf(house: string): string[] {
  return [...beds.value.values()].filter((bed) => bed.house === house).map(({ id }) => id);
}

/** How many lots of the house are not here whole. */
function lacking(house: string): number {
  return new Set(bedsOf(house).flatMap(comingTo)).size;
}

function isOpened(house: string): boolean {
  return carried.value?.opened.includes(house) ?? false;
}

/** False as far as this phone knows: what is asked for then comes later. */
function isInRange(): boolean {
  return online.value && access.value === '' && !['offline', 'slow', 'portal'].includes(queue.value.state);
}

/** @param beds shown where it says how much there is to open */
export function HouseState({ house, beds: count }: { house: string; beds?: number }) {
  const words = amendWords.value.houses;
  const toCome = lacking(house);
  if (!isOpened(house)) {
    const beds = appWords.value.common.beds(count ?? 0);
    const kept = toCome > 0 ? words.notKept(beds, count ?? 0) : words.still(beds);
    return (
      <>
        {count !== undefined && <span class="small quiet">{kept}</span>}
        {toCome > 0 && !isInRange() && <span class="small attention">{words.outOfRange}</span>}
      </>
    );
  }
  if (toCome === 0) return <span class="small quiet">{words.isOpen}</span>;
  const lots = appWords.value.common.lots(toCome);
  const soon = whenHere(isInRange() ? '' : words.goThere);
  return (
    <span class="small attention">
      {(soon === '' ? words.coming : words.toCome)(lots)} {soon}
    </span>
  );
}

/** Out of range a house can be opened only where all of its notes are still here. */
export function HouseButtons({ house }: { house: string }) {
  const words = amendWords.value.houses;
  const isOpen = isOpened(house);
  if (!isOpen && lacking(house) > 0 && !isInRange()) return null;
  return (
    <div class="menu">
      <Button size="walk" onClick={() => void keepHouse(house, !isOpen).catch(sayNotSaved)}>
        {isOpen ? words.close : words.open}
      </Button>
    </div>
  );
}
