import { intent } from '../../../journal/outbox/write';
import { workWords } from '../../../words/rooms';
import { WordsField } from '../../../forms/fields';
import { useForm } from '../../../forms/form';
import { Frame, Opening } from '../Frame';
import type { Location } from '../../../forms/place';
import { problemsOf, wordsTyped } from '../../../forms/typed';

/** Free words about a bed, a lot or the day. */
export function FreeWords({ place }: { place: Location }) {
  const words = workWords.value.work;
  const form = useForm('note', place);
  if (!form) return <Opening title={words.forms.note} />;
  const said = wordsTyped(form.at('words'), 'note', 'words', words.form.words, true);
  const notes = () => ({
    notes: [
      intent(
        'note',
        { ...(place.lot ? { lot: place.lot } : {}), ...(place.bed ? { bed: place.bed } : {}), words: said.value ?? '' },
        { id: form.id(0) },
      ),
    ],
    said: words.note.saved,
  });
  return (
    <Frame title={words.forms.note} place={place} form={form} problems={problemsOf([said])} notes={notes}>
      <WordsField label={words.form.words} {...form.field('words', said)} rows={8} hint={words.note.placeholder} />
    </Frame>
  );
}
