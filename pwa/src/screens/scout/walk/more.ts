/** Why a walk asks for another number of pots than before the last one was noted. */
import { guideWords } from '../../../words/rooms';
import type { Course } from './course';

/**
 * One line. Nothing where the number stands, where a second look is blind, or where enough were seen. Before the least number of pots no
 * number can be given yet: then the first trouble says that one is to come.
 */
export function whyChanged(before: Course, now: Course): string | undefined {
  if (now.blind || now.asked === 0) return undefined;
  const words = guideWords.value;
  const count = now.about - now.standing.length;
  const rises = (trait: 'rot' | 'chlorosis') => now.score[trait].x > before.score[trait].x;
  const { rot, chlorosis, stop } = now.score;
  if (now.about === before.about) {
    if (stop.verdict !== 'minimum') return undefined;
    if (rises('rot') && rot.x === 1) return words.mayNeedForRot;
    return rises('chlorosis') && chlorosis.x === 1 ? words.mayNeedForPale : undefined;
  }
  if (now.about < before.about) {
    const isDecided = (call: 'roots' | 'chlorosis') => before.score.stop[call] === 'open' && stop[call] === 'trouble';
    if (isDecided('roots') || isDecided('chlorosis')) return words.fewerDecided(count);
    if (rises('rot') || rises('chlorosis')) return words.moreNow(count);
    return rot.x + chlorosis.x > 0 ? words.fewerSound(count) : words.fewerSure(count);
  }
  if (rises('rot')) return words.moreForRot(count);
  if (rises('chlorosis')) return words.moreForPale(count);
  const [was, is] = [before.score.uniformity, now.score.uniformity];
  if (was.known && is.known && is.value < was.value) return words.moreForSpread(count);
  // Seen in an earlier pot, and asked about only once the least number of pots is there.
  if (rot.x > 0 && stop.roots === 'open') return words.moreForRot(count);
  if (chlorosis.x > 0 && stop.chlorosis === 'open') return words.moreForPale(count);
  return words.moreNow(count);
}
