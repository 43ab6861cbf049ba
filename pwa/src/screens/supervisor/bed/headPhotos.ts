/** Heads that were estimated from photos: beside what was measured, never in its place. */
import type { BedView, Observation, Photo, PhotoHead, Record as Kept } from '../../../../../schema/types';
import { length } from '../../../words/format';
import { headWords } from '../../../words/es/head';

/** The newest estimate of each pot, of photos that are not struck out. @param facts newest first */
function headsInPhotos(facts: readonly Kept[]): Map<string, PhotoHead> {
  const heads = new Map<string, PhotoHead>();
  for (const { fact } of facts) {
    if (fact?.kind !== 'photo' || fact.voided) continue;
    const { pot, head } = fact.body as Photo;
    if (pot !== undefined && head && !heads.has(pot)) heads.set(pot, head);
  }
  return heads;
}

const isMeasured = ({ head_a_mm: a, head_b_mm: b }: Observation) => a !== undefined || b !== undefined;

/** What a walk's pots show for the heads that nobody measured: by pot, "photo: 30.1 cm ± 1.6 cm". */
export function headsFromPhotosOnly({ pots, facts }: Pick<BedView, 'pots' | 'facts'>): Map<string, string> {
  const heads = headsInPhotos(facts);
  const said = pots.flatMap(({ id, now, voided }): [string, string][] => {
    const head = voided || isMeasured(now) ? undefined : heads.get(id);
    return head ? [[id, headWords.value.inTable(length(head.diameter_mm), length(head.within_mm))]] : [];
  });
  return new Map(said);
}
