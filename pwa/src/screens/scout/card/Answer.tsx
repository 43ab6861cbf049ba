/** The number in the making, large; beside it what is usual in the lot, or a doubt that never blocks. */
import { notSaved } from '../../../parts/Toast';
import { walkWords } from '../../../words/rooms';
import { limits } from '../../../../../schema/limits';
import type { PotSeen } from '../../../../../schema/types';
import { headMM } from '../../../../../sync/bed/lots';
import { lengthUnit as unitName, number } from '../../../words/format';
import { saving, type Card } from './card';
import type { Course } from '../walk/course';
import { others, slipAmong, type Measured } from './doubts';
import { lengthOf } from './Measure';
import { answerWhole, refusal, shownTyped, typedLength } from '../../../words/observation';

const fieldOf = ({ trait, other }: Card) =>
  trait === 'head' ? (other ? 'head_b_mm' : 'head_a_mm') : other ? 'tips_bare' : 'buds';

const write = (trait: Measured) => (value: number) =>
  trait === 'head' ? shownTyped(typedLength(Math.round(value))) : number(value);

export function Answer({ now, course }: { now: Card; course: Course }) {
  const { trait } = now;
  if (trait !== 'head' && trait !== 'buds') {
    return (
      <div class="answer">
        <output class="big">{answerWhole(now.now, trait) ?? '–'}</output>
        <div class="aside small quiet">
          <Status />
        </div>
      </div>
    );
  }
  const value = now.now[fieldOf(now)];
  const which = whichOf(now);
  return (
    <div class="answer">
      <div>
        {which !== '' && <span class="small">{which} </span>}
        <output class="big">{now.typed ?? (value === undefined ? '–' : write(trait)(value))}</output>{' '}
        <span class="quiet">{trait === 'head' ? unitName() : ''}</span>
      </div>
      <div class="aside small quiet">
        {now.typed ? <NotTaken now={now} typed={now.typed} /> : <Beside now={now} course={course} />}
        {!now.typed && <Status />}
      </div>
    </div>
  );
}

/** Which of the two numbers of a trait stands there, where that is not plain. */
function whichOf({ trait, other, now }: Card): string {
  const words = walkWords.value;
  if (trait === 'buds') return other ? words.bare : '';
  if (other) return words.secondShort;
  return now.head_b_mm === undefined ? '' : words.firstShort;
}

function NotTaken({ now, typed }: { now: Card; typed: string }) {
  const value = now.trait === 'head' ? (lengthOf(typed) ?? Number.NaN) : Number(typed);
  const reason = refusal(typed, value, limits.observation[fieldOf(now)], write(now.trait as Measured));
  return <strong class="doubt">{reason}</strong>;
}

/** A head is complete with its second digit, and the card has turned to the buds: a doubt about it is said there. */
function Beside({ now, course }: { now: Card; course: Course }) {
  const words = walkWords.value;
  if (course.blind) return null;
  const doubt =
    doubtOf(now, course, now.trait as Measured) ??
    (now.trait === 'buds' ? prefixed(words.head, doubtOf(now, course, 'head')) : undefined);
  if (doubt !== undefined) return <strong class="doubt">{doubt}</strong>;
  const usual = medianOf(others(course, now.pot, now.now.lot), now.now.lot, now.trait as Measured);
  return usual === undefined ? null : <span>{words.typical(write(now.trait as Measured)(usual))}</span>;
}

function prefixed(trait: string, doubt: string | undefined): string | undefined {
  return doubt === undefined ? undefined : walkWords.value.answered(trait, doubt);
}

function doubtOf(now: Card, course: Course, trait: Measured): string | undefined {
  const words = walkWords.value;
  const value = trait === 'head' ? now.now.head_a_mm : now.now.buds;
  // While the first of two digits stands there, every head is far too small: the doubt waits for the second.
  if (value === undefined || (trait === 'head' && value < 100)) return undefined;
  const slip = slipAmong(course, now.pot, now.now.lot, trait, value);
  if (!slip) return undefined;
  const shown = write(trait);
  return slip.likely > 0
    ? words.slipLikely(shown(value), shown(slip.likely))
    : words.slip(shown(value), shown(medianOf(others(course, now.pot, now.now.lot), now.now.lot, trait) ?? value));
}

/** A lot's usual size or count: the median, which one mistyped value does not move. Nothing from one pot. */
function medianOf(pots: readonly PotSeen[], lot: string, trait: Measured): number | undefined {
  const values = pots
    .filter(({ now }) => now.lot === lot)
    .flatMap(({ now }) => (trait === 'head' ? headMM(now) : now.buds) ?? [])
    .sort((a, b) => a - b);
  const half = values.length >> 1;
  const high = values[half];
  if (high === undefined || values.length < 2) return undefined;
  return values.length % 2 === 1 ? high : ((values[half - 1] ?? high) + high) / 2;
}

/** Says "saved" only of what is on the disk. */
function Status() {
  const now = saving.value;
  if (now === 'full' || now === 'broken') {
    return <strong class="status attention">{notSaved({ code: now })}</strong>;
  }
  return (
    <span class="status small quiet" role="status">
      {now === 'saved' ? `✓ ${walkWords.value.saved}` : now === 'saving' ? walkWords.value.saving : ''}
    </span>
  );
}
