/**
 * The pot card while it is being filled in. Every tap is one strict transaction here, so a killed app opens at the same
 * card with the same answers; "next pot" makes one entry of it, in the transaction that also clears the draft.
 *
 * Why not an entry a tap: an entry is one action of a person, kept for ever and sent to everybody. Digits on the way to
 * a number are no observations, and a correction should mean that somebody changed their mind.
 */
import type { Correction, Observation, Stamped } from '../../../../schema/types';
import { base, unheard, within, type Work } from '../store/base';
import type { Draft } from '../store/shape';
import { intent, save } from './write';

export async function draftOf(walk: string): Promise<Draft | undefined> {
  return (await base()).get('drafts', walk);
}

export async function keep(draft: Draft): Promise<void> {
  await within('readwrite', ['drafts'], async (work) => {
    unheard(work.objectStore('drafts').put(draft));
  });
}

export async function drop(walk: string): Promise<void> {
  await within('readwrite', ['drafts'], async (work) => {
    unheard(work.objectStore('drafts').delete(walk));
  });
}

/** Turns a draft into its entry: an observation, or a correction of an earlier pot. */
export async function settle(draft: Draft, committed?: () => void): Promise<Stamped | undefined> {
  const note = draft.pot
    ? intent(
        'correction',
        { pot: draft.pot, replaces: draft.replaces ?? draft.pot, now: draft.now } satisfies Correction,
        {
          id: draft.id,
        },
      )
    : intent('observation', draft.now, { id: draft.id });
  const clear = async (work: Work) => unheard(work.objectStore('drafts').delete(draft.walk));
  const [saved] = await save([note], clear, committed);
  return saved;
}

const place = new Set(['walk', 'bed', 'lot', 'place', 'planned']);

/** True once anything was looked at. */
export function hasAnswers(now: Observation): boolean {
  return Object.entries(now).some(([field, value]) => !place.has(field) && value !== undefined);
}
