/** The guide to the pot that is to be pulled: where to go in the largest type, the whole bed, and its next metres. */
import type { Bed, Place } from '../../../../../schema/types';
import { beds, lots, type Plain } from '../../../journal/records/registers';
import { units } from '../../../words';
import { distance, distanceUnit, length } from '../../../words/format';
import { nameOfBed } from '../../../words/names';
import { sideOf } from '../../../words/place';
import { guideWords } from '../../../words/rooms';
import { lotAt } from '../../../journal/records/bedInput';
import type { Card } from '../card/card';
import type { Course } from './course';
import { NextMetres } from './NextMetres';
import { reachOf, wayTo, type Way } from './way';
import { WholeBed } from './WholeBed';

interface Props {
  course: Course;
  now: Pick<Card, 'pot' | 'now'>;
  /** The number of the pot in the hand among the walk's. */
  number: number;
}

export function Guide({ course, now: { pot, now }, number }: Props) {
  const bed = beds.value.get(now.bed);
  const { place } = now;
  if (!bed || !place) {
    const words = guideWords.value;
    const isEnough = course.asked === 0 && !course.isPartial;
    return (
      <div class="guide">
        <WholeBed course={course} bed={bed} />
        <div class="place">
          <p class="way words">{isEnough ? words.enough : words.noPlace}</p>
          <p>{isEnough ? words.enoughHow : words.noPlaceHow}</p>
        </div>
      </div>
    );
  }
  // The pot that was noted last is where the scout stands; the way to itself is none.
  const isLast = pot !== undefined && pot === course.standing[course.standing.length - 1]?.id;
  const stands = isLast ? undefined : course.stands;
  const ground = groundOf(bed);
  const way = wayTo(ground, place, stands);
  const next = nextOf(course, place);
  const reach = reachOf(ground.rows, place, stands, next);
  return (
    <div class="guide">
      <WholeBed course={course} bed={bed} here={place} reach={reach} />
      <div class="place">
        <Headline bed={bed} way={way} />
        <Lot id={now.lot} />
        <p class="line small">
          <span>{rowAt(bed, place.row, way)}</span>
          <span class="chips">
            {way.changesSide && <b class="chip">{guideWords.value.otherSide}</b>}
            {isOtherLot(now.bed, now.lot, stands) && <b class="chip">{guideWords.value.otherLot}</b>}
          </span>
        </p>
      </div>
      <NextMetres
        label={guideWords.value.wayOf(nameOfBed(now.bed), describeWay(bed, way).join(' '))}
        ground={ground}
        bed={bed}
        course={course}
        here={{ place, number, isSeen: pot !== undefined }}
        stands={stands}
        next={next}
        reach={reach}
      />
    </div>
  );
}

/** The pots that come after this one. */
function nextOf({ left }: Course, here: Place): Place[] {
  return left.filter(({ row, across }) => row !== here.row || across !== here.across).slice(0, 2);
}

export function groundOf({ rows = 1, across = 1, aisles }: Plain<Bed>) {
  return { rows, across, aisles };
}

/**
 * The two lines that lead to a pot: "7 rows on · 3rd in", "from the path side"; or "7 rows toward the door", "3rd in from the path side". The
 * second is empty on a bed one pot wide.
 */
export function describeWay(bed: Plain<Bed>, { along, rows, from }: Way): [string, string] {
  const words = guideWords.value;
  const said = {
    on: () => words.on(rows),
    back: () => words.back(rows, bed.entry_end ?? words.entry),
    same: () => words.same,
    at: () => words.row(rows),
    atFar: () => words.rowFromFar(rows, bed.far_end ?? words.farEnd),
  };
  const first = said[along]();
  if (!from) return [first, ''];
  const side = sideOf(bed, from.side);
  // Which way "back" is depends on where one faces, and whoever has gone round the bed faces the entry: so it names the end, and takes a line.
  return along === 'back' ? [first, words.inFrom(from.nth, side)] : [words.way(first, from.nth), words.from(side)];
}

/** Longer than this it is set smaller, to stay on one line of 360 px. */
const LONG = 17;
const LONG_SIDE = 34;

function Headline({ bed, way }: { bed: Plain<Bed>; way: Way }) {
  const [first, second] = describeWay(bed, way);
  // Which hand it is on is what one walks by; from where it is seen so is read once.
  const [side, seenFrom] = second.split(', ');
  return (
    <>
      <p class={`way ${first.length > LONG ? 'long' : ''}`}>
        {first.split(/(\d+)/).map((part, at) => (at % 2 === 1 ? <b key={at}>{part}</b> : part))}
      </p>
      {second && (
        <p class={`side ${second.length > LONG_SIDE ? 'long' : ''}`}>
          {side}
          {seenFrom && <span>, {seenFrom}</span>}
        </p>
      )}
    </>
  );
}

function Lot({ id }: { id: string }) {
  const lot = lots.value.get(id);
  if (!lot) return null;
  return (
    <p>
      {lot.cultivar && <b>{lot.cultivar}</b>}
      {lot.cultivar && lot.tag && ' · '}
      {lot.tag && guideWords.value.lot(lot.tag)}
    </p>
  );
}

/** More rows than these are paced by their length, not counted. */
const COUNTED_ROWS = 9;

/**
 * The row, and how far that is: along the aisle from where the scout stands where that is many rows, else from the end that the way counts
 * from to the middle of the row.
 */
export function rowAt(bed: Plain<Bed>, row: number, way: Way): string {
  const words = guideWords.value;
  const { rows = 1, length_mm: long, entry_end: entry, far_end: far } = bed;
  if (long === undefined) return words.rowOnly(row);
  const lengthOf = (count: number) => paced((count / rows) * long);
  if (way.rows > COUNTED_ROWS && way.along === 'on') return words.rowOn(row, lengthOf(way.rows));
  if (way.rows > COUNTED_ROWS && way.along === 'back') return words.rowBack(row, lengthOf(way.rows));
  if (way.along === 'atFar') return words.rowAt(row, lengthOf(way.rows - 0.5), far ?? words.farEnd);
  return words.rowAt(row, lengthOf(row - 0.5), entry ?? words.entry);
}

const FOOT_MM = 304.8;

/** A length along an aisle as one paces it, and as good as a bed's is known: to 10 cm or to half a foot, from 20 feet on to a foot. */
function paced(mm: number): string {
  if (units.value.length !== 'in') {
    const centimetres = Math.max(1, Math.round(mm / 100)) * 10;
    return centimetres < 100 ? length(centimetres * 10, 0) : distance(mm, 1);
  }
  const halves = Math.round((2 * mm) / FOOT_MM);
  if (halves < 2) return length(mm, 0);
  if (halves >= 40 || halves % 2 === 0) return distance(mm);
  return `${Math.floor(halves / 2)}½\u202f${distanceUnit()}`;
}

function isOtherLot(bed: string, lot: string, stands: Course['stands']): boolean {
  if (stands === undefined || stands === 'entry') return false;
  return lotAt(bed, stands.row) !== lot;
}
