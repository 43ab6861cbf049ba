import { seenOf } from '../../../journal/records/registers';
import { intent } from '../../../journal/outbox/write';
import type { Intent } from '../../../journal/store/shape';
import { Button } from '../../../parts/Button';
import { workWords } from '../../../words/rooms';
import { Hazards } from '../Cautions';
import { CountField, WordsField } from '../../../forms/fields';
import { useForm, type Form } from '../../../forms/form';
import { Frame, Opening } from '../Frame';
import { GoalPick, goalOf, LotPick, lotAnswer, lotOf, stretchOf, StretchPick, type Goal, type Stood } from '../picks';
import { stretchesOf, type Location } from '../../../forms/place';
import { potsTyped, problemsOf, wordsTyped, type Answer } from '../../../forms/typed';

/** Carries pots of one lot to another stretch: both legs in one entry, so that no pot appears or vanishes between. */
export function Move({ place }: { place: Location }) {
  const words = workWords.value.work;
  const form = useForm('move', place);
  if (!form) return <Opening title={words.forms.move} />;
  const lot = lotOf(form, place);
  const from = stretchOf(form, place, lot);
  const goal = goalOf(form, lot, false);
  const to = goal[0]?.value;
  const typed = potsTyped(form.at('pots'), words.move.pots);
  const there = from.value?.standing;
  const pots = moreThanThere(typed, there);
  const more = wordsTyped(form.at('words'), 'move', 'words', words.form.words);
  const span = to ? sameStretch(lot, to) : undefined;
  const isSame: Answer<never> = from.value && span === from.value.span ? { problem: words.typed.sameStretch } : {};

  const notes = () => {
    if (!from.value || !to || !pots.value) throw new TypeError('a move without its places cannot be saved');
    const made: Intent[] = [];
    const goalSpan = span ?? form.id(0);
    if (!span) made.push(spanNote(form, 1, goalSpan, lot, to));
    made.push(
      intent(
        'move',
        {
          legs: [leg(lot, from.value.span, -pots.value), leg(lot, goalSpan, pots.value)],
          why: 'moved',
          ...(more.value ? { words: more.value } : {}),
        },
        { id: form.id(2), lot, bed: to.bed },
      ),
    );
    if (from.value.span !== '' && pots.value === there) made.push(endOfSpan(form, 3, lot, from.value));
    return { notes: made, said: words.move.saved(pots.value) };
  };
  return (
    <Frame
      title={words.forms.move}
      place={place}
      form={form}
      problems={problemsOf([lotAnswer(lot), from, pots, ...goal, isSame, more])}
      notes={notes}
    >
      <Hazards of={['lifting']} />
      <LotPick form={form} place={place} name="move" />
      <StretchPick form={form} place={place} lot={lot} />
      <CountField label={words.move.pots} {...form.field('pots', pots)} steps={[10, 100]} />
      {there !== undefined && there > 0 && (
        <Button size="walk" onClick={() => form.set({ pots: String(there) })}>
          {words.move.all(there)}
        </Button>
      )}
      <GoalPick form={form} lot={lot} label={words.move.toBed} mayBeNone={false} />
      <WordsField label={words.form.wordsMore} {...form.field('words', more)} />
    </Frame>
  );
}

export function moreThanThere(typed: Answer<number>, there: number | undefined): Answer<number> {
  const isMore = typed.value !== undefined && there !== undefined && typed.value > there;
  return isMore ? { ...typed, hint: workWords.value.work.hint.moreThanThere(there) } : typed;
}

/** One side of a move; pots on no bed have no span. */
export function leg(lot: string, span: string, change: number): { lot: string; span?: string; change: number } {
  return span === '' ? { lot, change } : { lot, span, change };
}

export function spanNote(form: Form, nth: number, span: string, lot: string, to: Goal): Intent {
  return intent('span', { of: span, lot, bed: to.bed, from_row: to.from, to_row: to.to }, { id: form.id(nth) });
}

/** The lot has left a stretch: what the ledger has there is nothing any more. */
export function endOfSpan(form: Form, nth: number, lot: string, stood: Stood): Intent {
  const saw = seenOf('span', stood.span, ['ended']);
  const body = { of: stood.span, ...(saw.length > 0 ? { saw } : {}), ended: true };
  return intent('span', body, { id: form.id(nth), lot, bed: stood.bed });
}

function sameStretch(lot: string, to: Goal): string | undefined {
  return stretchesOf(lot).find((span) => span.bed === to.bed && span.from_row === to.from && span.to_row === to.to)?.id;
}
