/** Why a walk asks for more pots than before the last one was noted. */
import { guideWords } from '../../../words/rooms';
import type { Course } from './course';

/** Nothing where it asks for no more, where a second look is blind, or where the first numbers only now say how many it needs. */
export function whyMore(before: Course, now: Course): string | undefined {
  if (now.blind || now.asked <= before.asked) return undefined;
  const words = guideWords.value;
  const rises = (trait: 'rot' | 'chlorosis') => now.score[trait].x > before.score[trait].x;
  if (rises('rot')) return words.moreForRot(now.asked);
  if (rises('chlorosis')) return words.moreForPale(now.asked);
  const [was, is] = [before.score.uniformity, now.score.uniformity];
  if (was.known && is.known && is.value < was.value) return words.moreForSpread(now.asked);
  // Seen in an earlier pot, and asked about only once the least number of pots is there.
  const { rot, chlorosis, stop } = now.score;
  if (rot.x > 0 && stop.roots === 'open') return words.moreForRot(now.asked);
  if (chlorosis.x > 0 && stop.chlorosis === 'open') return words.moreForPale(now.asked);
  return words.moreNow(now.asked);
}
