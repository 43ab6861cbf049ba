/**
 * The pot card while it is being filled in. Every tap is one strict transaction here, so a killed app opens at the same
 * card with the same answers; "next pot" makes one entry of it, in the transaction that also clears the draft.
 *
 * Why not an entry a tap: an entry is one action of a person, kept for ever and sent to everybody. Digits on the way to
 * a number are no observations, and a correction should mean that somebody changed their mind.
 */
import type { Correction, Observation, Stamped } from '../../../../schema/types';
import { base, unheard, within, type Work } from '../store/base';
import { randomId } from '../store/device';
import type { Draft, Intent } from '../store/shape';
import { mustBeSame, SavedOtherwise } from './twice';
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

/**
 * Turns a draft into its entry: an observation, or a correction of an earlier pot. A pot that another tab saved meanwhile from the same
 * card, with other answers, is corrected: both stay to be read, and the last one counts.
 */
export async function settle(draft: Draft, committed?: () => void): Promise<Stamped | undefined> {
  const note = draft.pot ? correction(draft.pot, draft.replaces ?? draft.pot, draft) : seen(draft);
  const clear = async (work: Work) => {
    await mustBeSame(work, [note]);
    unheard(work.objectStore('drafts').delete(draft.walk));
  };
  try {
    const [saved] = await save([note], clear, committed);
    return saved;
  } catch (error) {
    if (!(error instanceof SavedOtherwise)) throw error;
    return settle({ ...draft, id: randomId(), pot: draft.pot ?? draft.id, replaces: error.there.id }, committed);
  }
}

function seen({ now, id }: Draft): Intent {
  return intent('observation', now, { id });
}

function correction(pot: string, replaces: string, { now, id }: Draft): Intent {
  return intent('correction', { pot, replaces, now } satisfies Correction, { id });
}

const place = new Set(['walk', 'bed', 'lot', 'place', 'planned']);

/** True once anything was looked at. */
export function hasAnswers(now: Observation): boolean {
  return Object.entries(now).some(([field, value]) => !place.has(field) && value !== undefined);
}
