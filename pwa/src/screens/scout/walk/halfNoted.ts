/** What becomes of a pot that was half noted when its walk is ended, or when another pot of it is opened. */
import { useState } from 'preact/hooks';
import type { Void } from '../../../../../schema/types';
import { unheard } from '../../../journal/store/base';
import { draftOf, drop, keep, settle } from '../../../journal/outbox/draft';
import { useStored, type PotRow } from '../../../journal/records/read';
import type { Draft, Intent } from '../../../journal/store/shape';
import type { WalkRow } from '../../../journal/records/walks';
import { intent, note, save } from '../../../journal/outbox/write';
import { say } from '../../../parts/Toast';
import { go } from '../../../router';
import { amendWords, walkWords } from '../../../words/rooms';
import { dateOf } from '../../../words/format';
import { asksDegree, finish, hasSomething, open as openCard, reopen, resume } from '../card/card';
import { everything } from '../../../words/observation';
import { placeOf } from '../../../words/place';
import type { SkippedPlace } from './course';
import { isPast } from './openWalks';

/**
 * Notes a half noted pot as far as it was looked at. In a walk that is too old to be gone on with it becomes words about the bed: a
 * pot noted now would be dated today. @throws NotSaved
 */
export async function settleHalf(walk: WalkRow): Promise<void> {
  const half = await draftOf(walk.id);
  if (!half || !hasSomething(half)) return;
  if (half.pot || !isPast(walk)) await settle(half);
  else await save([inWords(half, walk.at)], async (work) => unheard(work.objectStore('drafts').delete(walk.id)));
}

/** Throws away what is half noted; the answer puts it back as it was. */
export async function leaveHalfOut(half: Draft): Promise<() => Promise<void>> {
  await drop(half.walk);
  return () => keep(half);
}

/**
 * Opens a pot of a walk to be corrected, and first puts down what is half noted of another, and says so.
 * @param from where saving the correction leads back to; the walk itself where it is not given
 * @throws NotSaved
 */
export async function openAgain(walk: WalkRow, pot: PotRow, from?: 'notes'): Promise<void> {
  const half = await draftOf(walk.id);
  if (half?.pot !== pot.id || !(await resume(walk.id))) {
    await settleHalf(walk);
    reopen(pot);
    if (half && hasSomething(half)) say(amendWords.value.open.savedFirst);
  }
  go(`/walk/${walk.id}${from ? `?from=${from}` : ''}`);
}

/** Puts down the card as it is and opens an earlier pot. What stood on it is a pot then, though nobody tapped "next pot". */
export async function turnsBackTo(pot: PotRow, isHalf: boolean): Promise<void> {
  if (!(await putsDown())) return;
  reopen(pot);
  if (isHalf) say(amendWords.value.open.savedFirst);
}

/** @returns false where the card stays, and says why */
async function putsDown(): Promise<boolean> {
  if (asksDegree()) {
    say(walkWords.value.howMuchFirst);
    return false;
  }
  return finish();
}

/** Takes a skip back, and opens its pot. @throws NotSaved */
export async function unskip({ id: walk, bed }: WalkRow, { id, place }: SkippedPlace): Promise<void> {
  await note('void', { names: id, records: [`fact:${id}`], why: 'mistake' } satisfies Void, { bed });
  openCard(walk, bed, place, true);
}

/** The same from the end of the walk, where what is half noted is put down first. @throws NotSaved */
export async function unskipFromEnd(walk: WalkRow, skipped: SkippedPlace): Promise<void> {
  const half = await draftOf(walk.id);
  await settleHalf(walk);
  await unskip(walk, skipped);
  if (half && hasSomething(half)) say(amendWords.value.open.savedFirst);
  go(`/walk/${walk.id}`);
}

/** Puts down the card as it is and opens a pot that was skipped. @throws NotSaved */
export async function turnsBackToSkipped(walk: WalkRow, skipped: SkippedPlace, isHalf: boolean): Promise<void> {
  if (!(await putsDown())) return;
  await unskip(walk, skipped);
  if (isHalf) say(amendWords.value.open.savedFirst);
}

/** The card of a walk that was not closed yet and holds something; undefined while it is read, null where there is none. */
export function useHalf(walk: string | undefined): { half: Draft | null | undefined; again: () => void } {
  const [turn, count] = useState(0);
  const half = useStored(async () => {
    const found = walk ? await draftOf(walk) : undefined;
    return found && hasSomething(found) ? found : null;
  }, [walk, turn]);
  return { half, again: () => count((before) => before + 1) };
}

/** A walk's pots as they would be once the open card is saved: what it says is judged along with them. */
export function withHalf(pots: readonly PotRow[], half: Draft, person: string): PotRow[] {
  const at = Date.now();
  const stamp = { at, quality: 'pending' as const, from: at, to: at };
  const by = { entry: half.id, person, device: '', stamp };
  if (!half.pot) return [...pots, { id: half.id, now: half.now, first: by, by, versions: 1 }];
  return pots.map((pot) => (pot.id === half.pot ? { ...pot, now: half.now, by, versions: 1 } : pot));
}

/** Its id is the card's, so that however often it is saved it is one note. */
function inWords({ id, now }: Draft, walkedAt: number): Intent {
  const words = amendWords.value.open.asWordsNote(dateOf(walkedAt), placeOf(now), everything(now));
  return intent('note', { bed: now.bed, ...(now.lot ? { lot: now.lot } : {}), words }, { id });
}
