/** What a card says beside its questions: the number in the making on its tab, and one line of news; a doubt never blocks. */
import { notSaved, saidNow } from '../../../parts/Toast';
import { limits } from '../../../../../schema/limits';
import { FEWEST } from '../../../../../sync/bed/due';
import { headMM } from '../../../../../sync/bed/lots';
import { appWords, units } from '../../../words';
import { guideWords, walkWords } from '../../../words/rooms';
import { lengthUnit, number } from '../../../words/format';
import { saving, type Card } from './card';
import type { Course } from '../walk/course';
import { others, slipAmong, type Measured } from './doubts';
import { lengthOf } from './Measure';
import { answer, answerWhole, refusal, shownTyped, typedLength } from '../../../words/observation';

const fieldOf = ({ trait, other }: Card) =>
  trait === 'head' ? (other ? 'head_b_mm' : 'head_a_mm') : other ? 'tips_bare' : 'buds';

const write = (trait: Measured) => (value: number) =>
  trait === 'head' ? shownTyped(typedLength(Math.round(value))) : number(value);

/** What stands on the tab of the trait that is open: the number in the making, and which of the two it is where that is not plain. */
export function onTab(now: Card): { text: string; label: string; unit: string } {
  const words = walkWords.value;
  const { trait } = now;
  if (trait !== 'head' && trait !== 'buds')
    return { text: answer(now.now, trait) ?? '–', label: words[trait], unit: '' };
  const value = now.now[fieldOf(now)];
  const text = now.typed ?? (value === undefined ? '–' : write(trait)(value));
  return { text, label: whichOf(now) || words[trait], unit: trait === 'head' ? unitOnTab() : '' };
}

/** A tab has no room for a unit of four letters. */
function unitOnTab(): string {
  return units.value.length === 'in' ? appWords.value.common.inchShort : lengthUnit();
}

interface Props {
  now: Card;
  course: Course;
  /** Why more pots are asked for than before; nothing where they are not. */
  more: string | undefined;
  /** True once Undo has nothing left to take back on this card. */
  isUndone: boolean;
}

/** One line below the figures: what needs a step, else a doubt, else what changed, else what was kept and what is usual. */
export function News({ now, course, more, isUndone }: Props) {
  const words = guideWords.value;
  const stored = saving.value;
  let isLoud = false;
  const loud = (text: string, kind: string) => {
    isLoud = true;
    return <strong class={`loud ${kind}`}>{text}</strong>;
  };
  const last = course.standing.length;
  const doubt = course.blind ? undefined : doubtsOf(now, course);
  const isFailing = stored === 'full' || stored === 'broken';
  let line: preact.ComponentChildren;
  if (isFailing) line = loud(notSaved({ code: stored }), 'attention');
  else if (now.typed) line = loud(refusalOf(now, now.typed), 'doubt');
  else if (saidNow.value) line = loud(saidNow.value.text, 'said');
  else if (isUndone) line = loud(now.pot || last === 0 ? words.nothingToUndo : words.undoneHere(last), 'doubt');
  else if (doubt !== undefined) line = loud(doubt, 'doubt');
  else if (now.pot && now.before.length > 0) line = <span>{changed(now)}</span>;
  else if (more !== undefined) line = loud(more, 'doubt');
  else line = <Usual now={now} course={course} />;
  return (
    <p class="news small">
      {line} {!isFailing && !now.typed && !now.pot && <Status isShort={isLoud} />}
    </p>
  );
}

/** Which of the two numbers of a trait stands there, where that is not plain. */
function whichOf({ trait, other, now }: Card): string {
  const words = walkWords.value;
  if (trait === 'buds') return other ? guideWords.value.bare : '';
  if (other) return words.secondShort;
  return now.head_b_mm === undefined ? '' : words.firstShort;
}

function refusalOf(now: Card, typed: string): string {
  const value = now.trait === 'head' ? (lengthOf(typed) ?? Number.NaN) : Number(typed);
  return refusal(typed, value, limits.observation[fieldOf(now)], write(now.trait as Measured));
}

/**
 * A head is complete with its second digit, and the card has turned to the buds: a doubt about it is said there. One about the buds
 * stands until the roots are answered, for the card may turn to them within a second.
 */
function doubtsOf(now: Card, course: Course): string | undefined {
  const words = walkWords.value;
  const { trait } = now;
  if (trait === 'head') return doubtOf(now, course, trait);
  if (trait === 'leaves' || (trait === 'roots' && answer(now.now, trait) !== undefined)) return undefined;
  const own = trait === 'buds' ? doubtOf(now, course, trait) : undefined;
  if (own !== undefined) return own;
  const before = trait === 'buds' ? 'head' : 'buds';
  const doubt = doubtOf(now, course, before);
  return doubt === undefined ? undefined : words.answered(words[before], doubt);
}

/** What a correction changes of the trait on the screen: "buds: 41 before, 43 now". */
function changed({ trait, now, before }: Card): string {
  const [was, is] = [answerWhole(before[0] ?? now, trait) ?? '–', answerWhole(now, trait) ?? '–'];
  const name = walkWords.value[trait];
  return was === is ? '' : guideWords.value.wasIs(name, was, is);
}

/** What a tab has no room for; else what is usual in the lot. */
function Usual({ now, course }: { now: Card; course: Course }) {
  const { trait } = now;
  const whole = answerWhole(now.now, trait);
  if (whole !== undefined && whole !== answer(now.now, trait)) return <span>{whole}</span>;
  if (course.blind || (trait !== 'head' && trait !== 'buds')) return null;
  const { median, pots } = middleOf(course, now, trait);
  // One pot shows nothing usual.
  return median === undefined || pots < 2 ? null : (
    <span class="quiet">{walkWords.value.typical(write(trait)(median))}</span>
  );
}

function doubtOf(now: Card, course: Course, trait: Measured): string | undefined {
  const words = walkWords.value;
  const value = trait === 'head' ? now.now.head_a_mm : now.now.buds;
  // While the first of two digits stands there, every head is far too small: the doubt waits for the second.
  if (value === undefined || (trait === 'head' && value < 100)) return undefined;
  const slip = slipAmong(course, now.pot, now.now.lot, trait, value);
  if (!slip) return undefined;
  const shown = write(trait);
  if (slip.likely > 0) return words.slipLikely(shown(value), shown(slip.likely));
  const { median, pots } = middleOf(course, now, trait);
  return (pots < FEWEST ? words.slipOfFew : words.slip)(shown(value), shown(median ?? value));
}

/** The median of a lot's other pots, which one mistyped value does not move, and of how many it is. */
function middleOf(course: Course, { pot, now: { lot } }: Card, trait: Measured): { median?: number; pots: number } {
  const values = others(course, pot, lot)
    .filter(({ now }) => now.lot === lot)
    .flatMap(({ now }) => (trait === 'head' ? headMM(now) : now.buds) ?? [])
    .sort((a, b) => a - b);
  const half = values.length >> 1;
  const high = values[half];
  if (high === undefined) return { pots: 0 };
  return { median: values.length % 2 === 1 ? high : ((values[half - 1] ?? high) + high) / 2, pots: values.length };
}

/** Says "saved" only of what is on the disk. */
function Status({ isShort }: { isShort: boolean }) {
  const words = walkWords.value;
  const now = saving.value;
  return (
    <span class="status quiet nowrap" role="status">
      {now === 'saved' && (
        <>
          ✓ <span class={isShort ? 'unseen' : ''}>{words.saved}</span>
        </>
      )}
      {now === 'saving' && <span class={isShort ? 'unseen' : ''}>{words.saving}</span>}
    </span>
  );
}
