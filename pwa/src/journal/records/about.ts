/** About how many pots a walk takes in all, as every screen says it. */

/** Of each walk what was said last, while the app is open. */
const said = new Map<string, number>();

/**
 * The number to say. The estimate behind it moves with every pot, up with a pale one and down with each sound one after it; a scout
 * paces by it, so what was said stays while it is out by no more than a third of what is left.
 * @param before what was said last
 * @param asked how many more pots the estimate asks for by now
 */
export function steady(before: number | undefined, seen: number, asked: number): number {
  const left = (before ?? 0) - seen;
  const isNear = asked > 0 && left > 0 && Math.abs(asked - left) <= Math.floor(asked / 3);
  return before !== undefined && isNear ? before : seen + asked;
}

/** The number to say of a walk, which is then what was said last. */
export function aboutOf(walk: string, seen: number, asked: number): number {
  const about = steady(said.get(walk), seen, asked);
  said.set(walk, about);
  return about;
}
