/**
 * The pot card's state: which pot, what was answered, and the way back. Each tap is in memory at once and on the disk a
 * moment later; `saving` says which. The next tap never waits for the disk.
 */
import { signal } from '@preact/signals';
import type { Observation, Place } from '../../../../../schema/types';
import { draftOf, drop, hasAnswers, keep, settle } from '../../../journal/outbox/draft';
import { severityClass } from '../../../../../sync/bed/shares';
import { lotAt } from '../../../journal/records/bedInput';
import { isFull } from '../../../journal/store/base';
import { randomId } from '../../../journal/store/device';
import type { PotRow } from '../../../journal/records/read';
import type { Draft } from '../../../journal/store/shape';
import { NotSaved } from '../../../journal/outbox/write';
import { say, unsay } from '../../../parts/Toast';
import { holdUpdates } from '../../../update';
import { answer as answerOf, traits, type Trait } from '../../../words/observation';
import { walkWords } from '../../../words/rooms';

export interface Card extends Draft {
  trait: Trait;
  /** The other number of the trait, while that is what is typed: the second diameter, or bare tips. */
  other?: true;
  /** True after a tap was taken back, until the next: what then stands there is continued, not replaced. */
  undone?: true;
  /** True once "how much" was asked because the pot was about to close without it. */
  askedDegree?: true;
  /** What was said to be not seen; asking for it at the close would be asking twice. */
  notSeen?: readonly Trait[];
  /** True once the pot was about to close with questions open. */
  askedOpen?: true;
}

export const card = signal<Card | undefined>(undefined);

export type Saving = 'nothing' | 'saving' | 'saved' | 'full' | 'broken';
export const saving = signal<Saving>('nothing');

/** How many taps of undo are kept with a card. */
const MOST_STEPS = 40;

let writing: Promise<void> = Promise.resolve();
/** True between "next pot" and the end of its saving: a tap in that moment belongs to neither pot. */
let closing = false;
/** The card that is on the disk. */
let written: Card | undefined;
let releaseUpdates: (() => void) | undefined;

/** Opens the card that was half filled when the walk was left, if there is one; it may have been asked for already. */
export async function resume(walk: string, asked = draftOf(walk)): Promise<boolean> {
  const draft = await asked;
  if (!draft) return false;
  show(draft as Card);
  saving.value = 'saved';
  return true;
}

/** Opens an empty card for a planned pot, or for another one. Nothing is written before the first tap. */
export function open(walk: string, bed: string, place: Place | undefined, planned: boolean): void {
  const now: Observation = { walk, bed, lot: lotAt(bed, place?.row ?? 1) ?? '' };
  if (place) now.place = place;
  if (planned) now.planned = true;
  // A toast about the pot before is over; one from another screen is not.
  if (card.value) unsay();
  show({ walk, bed, id: randomId(), trait: 'head', now, before: [] });
  saving.value = 'nothing';
}

/** Opens an earlier pot to be corrected. */
export function reopen(pot: PotRow, trait: Trait = 'head'): void {
  const { walk, bed } = pot.now;
  unsay();
  show({ walk, bed, id: randomId(), pot: pot.id, replaces: pot.by.entry, trait, now: { ...pot.now }, before: [] });
  saving.value = 'nothing';
}

function show(next: Card): void {
  releaseUpdates?.();
  releaseUpdates = undefined;
  card.value = next;
}

export function turnTo(trait: Trait, other = false): void {
  if (!card.value) return;
  const { typed: _, other: __, ...now } = card.value;
  card.value = { ...now, trait, ...(other ? { other } : {}) };
}

/** Says that a question cannot be answered for this pot, and takes back what was answered. */
export function notSeen(trait: Trait): void {
  const now = card.value;
  if (!now) return;
  if (fieldsOf[trait].some((field) => now.now[field] !== undefined)) {
    answerWith(Object.fromEntries(fieldsOf[trait].map((field) => [field, undefined])));
  }
  if (card.value) card.value = { ...card.value, notSeen: [...(card.value.notSeen ?? []), trait] };
}

/**
 * Turns to the first question that is still open when a pot is about to close. Asked once: the pot may not show it. What the
 * pot before left open too is left out of this walk on purpose.
 * @param before the pot before
 * @returns the questions that are open; none where it was asked already, or the card is empty or corrects a pot
 */
export function asksOpen(before: Observation | undefined): readonly Trait[] {
  const now = card.value;
  if (!now || now.askedOpen || now.pot || !hasAnswers(now.now)) return [];
  const isOpen = (seen: Observation, trait: Trait) => answerOf(seen, trait) === undefined;
  const open = traits.filter(
    (trait) => isOpen(now.now, trait) && !now.notSeen?.includes(trait) && !(before && isOpen(before, trait)),
  );
  const [first] = open;
  if (first === undefined) return [];
  const { typed: _, other: __, ...rest } = now;
  card.value = { ...rest, trait: first, askedOpen: true };
  return open;
}

/** True of a pot that says which leaves are pale and not how much: it cannot be graded. */
export function lacksDegree(now: Observation): boolean {
  return now.chlorosis !== undefined && severityClass(now) === null;
}

/**
 * Asks how pale the leaves are of a pot that is to be closed with only which of them said: without a degree it cannot be
 * graded, and no promise counts it. Asked once, for somebody who cannot tell must be able to go on.
 * @returns false when nothing is missing, or it was asked already
 */
export function asksDegree(): boolean {
  const now = card.value;
  if (!now || now.askedDegree || !lacksDegree(now.now)) return false;
  const { typed: _, other: __, ...rest } = now;
  card.value = { ...rest, trait: 'leaves', askedDegree: true };
  return true;
}

/**
 * Answers a question; undefined takes the answer back to "not looked at".
 * @param typed what stands there instead, when it is no answer that can be
 */
export function answerWith(changes: { [F in keyof Observation]?: Observation[F] | undefined }, typed?: string): void {
  if (!card.value || closing) return;
  const { typed: _, undone: __, ...now } = card.value;
  const next: Record<string, unknown> = { ...now.now };
  for (const [field, value] of Object.entries(changes)) {
    if (value === undefined) delete next[field];
    else next[field] = value;
  }
  const before = [...now.before, now.now].slice(-MOST_STEPS);
  change({ ...now, ...(typed ? { typed } : {}), now: next as unknown as Observation, before });
  navigator.vibrate?.(12);
}

/** Takes the last tap back. @returns false when there is none on this card */
export function undo(): boolean {
  if (!card.value || closing) return false;
  const { typed: _, other: __, ...now } = card.value;
  const last = now.before[now.before.length - 1];
  if (!last) return false;
  const changed = fieldThatDiffers(now.now, last);
  const trait = traits.find((each) => changed && fieldsOf[each].includes(changed)) ?? now.trait;
  const other = changed === 'head_b_mm' || changed === 'tips_bare';
  change({ ...now, now: last, before: now.before.slice(0, -1), trait, undone: true, ...(other ? { other } : {}) });
  return true;
}

const fieldsOf: Record<Trait, readonly (keyof Observation)[]> = {
  head: ['head_a_mm', 'head_b_mm'],
  buds: ['buds', 'tips_bare'],
  roots: ['root_cover', 'root_life', 'scratch'],
  leaves: ['chlorosis', 'severity', 'soft_flush'],
};

/** What was taken back is shown: the card turns to it. */
function fieldThatDiffers(a: Observation, b: Observation): keyof Observation | undefined {
  return traits.flatMap((trait) => fieldsOf[trait]).find((field) => a[field] !== b[field]);
}

function change(next: Card): void {
  releaseUpdates ??= holdUpdates();
  card.value = next;
  saving.value = 'saving';
  // In the order of the taps, each whole: the last one on the disk is always one that the person made.
  writing = writing.then(() => write(next.id));
}

/** Writes the card as it is by now: taps that came while the disk was busy go along. */
async function write(id: string): Promise<void> {
  const now = card.value;
  // The last answer of a card that is being closed goes into its entry, not into a draft first: one wait, not two.
  if (now?.id !== id || closing) return;
  try {
    if (now !== written) await keep(now);
    written = now;
    if (card.value?.now === now.now && !closing) saving.value = 'saved';
  } catch (error) {
    saving.value = isFull(error) ? 'full' : 'broken';
  }
}

/** Writes the card down as it is, even empty, so that a photo taken now and the pot noted later are of the same pot. */
export async function holdOn(): Promise<void> {
  if (card.value) await keep(card.value);
}

/** True when the card holds something that would be lost with it. */
export function hasSomething(now: Draft): boolean {
  return now.pot ? now.before.length > 0 : hasAnswers(now.now);
}

/**
 * Makes the card's entry and closes it. A card without answers, or a correction without a change, is only closed.
 * @param then called when it is on the disk, before the screens hear of it: what it opens is drawn along with that
 * @returns false when it could not be saved: the card stays as it is
 */
export async function finish(then: () => void = () => undefined): Promise<boolean> {
  if (closing) return false;
  closing = true;
  try {
    return await close(then);
  } finally {
    closing = false;
  }
}

/**
 * Throws away what stands on the card.
 * @param then called when it is off the disk; it opens what follows
 * @returns puts it back as it was; what stands on another card by then is saved first, as far as it can be
 */
export async function discard(then: () => void): Promise<(() => Promise<void>) | undefined> {
  const held = card.value;
  if (!held || closing) return undefined;
  closing = true;
  try {
    // A tap that is still being written would come back after it.
    await writing;
    await drop(held.walk);
    releaseUpdates?.();
    releaseUpdates = undefined;
    then();
  } finally {
    closing = false;
  }
  return async () => {
    if (card.value && hasSomething(card.value) && !(await finish())) return;
    await keep(held);
    show(held);
    saving.value = 'saved';
  };
}

async function close(then: () => void): Promise<boolean> {
  const now = card.value;
  if (!now) {
    then();
    return true;
  }
  const closed = () => {
    releaseUpdates?.();
    releaseUpdates = undefined;
    saving.value = 'saved';
    then();
  };
  try {
    if (hasSomething(now)) {
      saving.value = 'saving';
      const saved = await settle(now, closed);
      if (saved && saved.entry.id !== now.id) say(walkWords.value.correctedOther);
    } else {
      await drop(now.walk);
      closed();
    }
    return true;
  } catch (error) {
    // The card stays on the screen, so its last answer belongs on the disk like the others, if there is any room.
    await keep(now).then(
      () => (written = now),
      () => undefined,
    );
    saving.value = error instanceof NotSaved ? (error.code === 'full' ? 'full' : 'broken') : 'broken';
    return false;
  }
}

/** Forgets the card on the screen; what is on the disk stays. */
export function leave(): void {
  releaseUpdates?.();
  releaseUpdates = undefined;
  card.value = undefined;
}
