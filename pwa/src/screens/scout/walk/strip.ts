import type { StripPot } from '../../../parts/BedStrip';
import { isTroubled } from '../../../journal/records/input';
import type { Course } from './course';

/** A walk's pots as dots: what is still planned under what was seen. */
export function dots(course: Course): StripPot[] {
  const seen = course.pots.flatMap((pot): StripPot[] => {
    if (!pot.now.place) return [];
    const state = pot.voided ? 'struck' : isTroubled(pot.now) ? 'trouble' : 'seen';
    return [{ id: pot.id, place: pot.now.place, state, lot: pot.now.lot }];
  });
  const planned = course.left.map((place): StripPot => ({
    id: `${place.row}/${place.across}`,
    place,
    state: 'planned',
  }));
  return [...planned, ...seen];
}
