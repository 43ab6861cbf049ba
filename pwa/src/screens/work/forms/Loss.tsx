import { limits } from '../../../../../schema/limits';
import type { Count } from '../../../../../schema/types';
import { intent } from '../../../journal/outbox/write';
import { Choice } from '../../../parts/Choice';
import { workWords } from '../../../words/rooms';
import { CountField, WordsField } from '../../../forms/fields';
import { useForm } from '../../../forms/form';
import { Hazards } from '../Cautions';
import { Frame, Opening } from '../Frame';
import { LotPick, lotAnswer, lotOf, stretchOf, StretchPick } from '../picks';
import type { Location } from '../../../forms/place';
import { potsTyped, problemsOf, wordsTyped } from '../../../forms/typed';
import { leg, moreThanThere } from './Move';

type Reason = Count['reason'];

/** What only adds pots; all other reasons take them, but "other", which asks. */
const adding: readonly Reason[] = ['found', 'received', 'returned', 'potted', 'struck', 'opening'];

/** One line of a lot's ledger: pots lost, thrown out, sold or found, with the reason. */
export function Loss({ place }: { place: Location }) {
  const words = workWords.value.work;
  const form = useForm('loss', place);
  if (!form) return <Opening title={words.forms.loss} />;
  const lot = lotOf(form, place);
  const from = stretchOf(form, place, lot);
  const reason = limits.count.reason.oneof.find((each) => each === form.at('reason'));
  const asked = reason ? { value: reason } : { problem: words.typed.choice(words.loss.reason) };
  const isMore = reason !== undefined && (adding.includes(reason) || (reason === 'other' && form.at('way') === 'more'));
  const wayAsked =
    reason === 'other' && form.at('way') === '' ? { problem: words.typed.choice(words.loss.way) } : { value: true };
  const typed = potsTyped(form.at('pots'), words.loss.pots);
  const pots = isMore ? typed : moreThanThere(typed, from.value?.standing);
  const more = wordsTyped(form.at('words'), 'count', 'words', words.form.words);
  // What opens a ledger is asked where a lot is made, and cuttings are never without the plants that they came from.
  const options = limits.count.reason.oneof
    .filter((each) => each !== 'opening' && each !== 'struck')
    .toSorted((a, b) => Number(adding.includes(a)) - Number(adding.includes(b)))
    .map((each) => ({ value: each, label: words.loss.reasons[each] }));
  const notes = () => {
    if (!reason || !pots.value || !from.value) throw new TypeError('a count without its reason cannot be saved');
    const change = isMore ? pots.value : -pots.value;
    const body = { ...leg(lot, from.value.span, change), reason, ...(more.value ? { words: more.value } : {}) };
    const where = from.value.bed ? { bed: from.value.bed } : {};
    return {
      notes: [intent('count', body, { id: form.id(0), ...where })],
      said: words.loss.saved(change, words.loss.reasons[reason]),
    };
  };
  return (
    <Frame
      title={words.forms.loss}
      place={place}
      form={form}
      problems={problemsOf([lotAnswer(lot), from, asked, wayAsked, pots, more])}
      notes={notes}
    >
      <LotPick form={form} place={place} name="loss" />
      <StretchPick form={form} place={place} lot={lot} />
      <Choice
        legend={words.loss.reason}
        options={options}
        value={reason}
        columns={2}
        onChoose={(chosen) => form.set({ reason: chosen })}
      />
      {(reason === 'lost_disease' || reason === 'culled') && <Hazards of={['disease']} />}
      {reason === 'other' && (
        <Choice
          legend={words.loss.way}
          options={[
            { value: 'fewer', label: words.loss.fewer },
            { value: 'more', label: words.loss.more },
          ]}
          value={form.at('way')}
          onChoose={(way) => form.set({ way })}
        />
      )}
      <CountField label={words.loss.pots} {...form.field('pots', pots)} steps={[1, 5]} />
      <WordsField label={words.form.wordsMore} {...form.field('words', more)} />
    </Frame>
  );
}
