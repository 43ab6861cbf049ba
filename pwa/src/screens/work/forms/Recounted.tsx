import { basisOf } from '../../../journal/records/basis';
import { intent } from '../../../journal/outbox/write';
import { number } from '../../../words/format';
import { workWords } from '../../../words/rooms';
import { CountField } from '../../../forms/fields';
import { useForm } from '../../../forms/form';
import { Frame, Opening } from '../Frame';
import { LotPick, lotAnswer, lotOf, stretchOf, StretchPick } from '../picks';
import type { Location } from '../../../forms/place';
import { amount, problemsOf, type Answer } from '../../../forms/typed';

/** A recount. The note says which changes the counter already knew, so that losses noted elsewhere meanwhile are still subtracted. */
export function Recounted({ place }: { place: Location }) {
  const words = workWords.value.work;
  const form = useForm('recount', place);
  if (!form) return <Opening title={words.forms.recount} />;
  const lot = lotOf(form, place);
  const from = stretchOf(form, place, lot);
  const typed = amount(form.at('pots'), {
    kind: 'recount',
    field: 'counted',
    name: words.recount.counted,
    measure: 'count',
    must: true,
  });
  const counted = againstLedger(typed, from.value?.standing);
  const notes = async () => {
    if (!from.value || counted.value === undefined) throw new TypeError('a recount without its count cannot be saved');
    const span = from.value.span === '' ? {} : { span: from.value.span };
    const body = { lot, ...span, counted: counted.value, basis: await basisOf(lot) };
    const where = from.value.bed ? { bed: from.value.bed } : {};
    return {
      notes: [intent('recount', body, { id: form.id(0), ...where })],
      said: words.recount.saved(counted.value),
    };
  };
  return (
    <Frame
      title={words.forms.recount}
      place={place}
      form={form}
      problems={problemsOf([lotAnswer(lot), from, counted])}
      notes={notes}
    >
      <p class="quiet">{words.recount.intro}</p>
      <LotPick form={form} place={place} name="recount" />
      <StretchPick form={form} place={place} lot={lot} />
      <CountField label={words.recount.counted} {...form.field('pots', counted)} steps={[1, 10]} />
    </Frame>
  );
}

function againstLedger(typed: Answer<number>, ledger: number | undefined): Answer<number> {
  if (typed.value === undefined || ledger === undefined) return typed;
  const words = workWords.value.work.hint;
  const change = typed.value - ledger;
  const shown = `${change > 0 ? '+' : '−'}${number(Math.abs(change))}`;
  return { ...typed, hint: change === 0 ? words.countedSame : words.counted(shown) };
}
