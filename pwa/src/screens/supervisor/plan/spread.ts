/** Shares walks out among people who have so many minutes each. */
import type { TomorrowWalk } from '../../../../../schema/types';
import { momentAt } from '../../../words/zone';

/** A bed that may be entered all that day, and whose walk nobody has yet. */
export function isOpen(walk: TomorrowWalk, on: string): boolean {
  return walk.task === '' && walk.closed_until <= momentAt(Date.parse(on));
}

/**
 * In the order of the list, each walk goes to whoever has most time left, if it fits. Walks of which nobody knows how long they take are
 * not shared out.
 * @param persons ids
 * @returns the person of each bed that fits
 */
export function spread(
  walks: readonly TomorrowWalk[],
  on: string,
  persons: readonly string[],
  minutesEach: number,
): ReadonlyMap<string, string> {
  const left = new Map(persons.map((person) => [person, minutesEach]));
  // What was handed out already takes its time.
  for (const { task, person, minutes } of walks) {
    const has = left.get(person);
    if (task !== '' && has !== undefined) left.set(person, has - minutes);
  }
  const given = new Map<string, string>();
  for (const walk of walks) {
    if (!isOpen(walk, on) || walk.minutes === 0) continue;
    const [person, most] = [...left].reduce((best, one) => (one[1] > best[1] ? one : best), ['', 0]);
    if (person === '' || most < walk.minutes) continue;
    left.set(person, most - walk.minutes);
    given.set(walk.bed, person);
  }
  return given;
}
