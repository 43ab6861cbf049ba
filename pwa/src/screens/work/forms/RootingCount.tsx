import { intent } from '../../../journal/outbox/write';
import { percent } from '../../../words/format';
import { workWords } from '../../../words/rooms';
import { dayOf, dayTyped } from '../../../forms/days';
import { CountField, DayField } from '../../../forms/fields';
import { useForm } from '../../../forms/form';
import { Frame, Opening } from '../Frame';
import { LotPick, lotAnswer, lotOf } from '../picks';
import type { Location } from '../../../forms/place';
import { amount, problemsOf, type Answer } from '../../../forms/typed';

/** Below this share of rooted cuttings water, cleanliness and stock plants want a look (common practice, no source). */
const POOR_SHARE = 0.85;

/** Cuttings looked at, and how many of them have rooted. */
export function RootingCount({ place }: { place: Location }) {
  const words = workWords.value.work;
  const now = Date.now();
  const form = useForm('rooting', place, { on: dayOf(now) });
  if (!form) return <Opening title={words.forms.rooting} />;
  const lot = lotOf(form, place);
  const read = (field: 'struck' | 'rooted') =>
    amount(form.at(field), { kind: 'rooting', field, name: words.rooting[field], measure: 'count', must: true });
  const struck = read('struck');
  const rooted = withShare(read('rooted'), struck.value);
  const on = dayTyped(form.at('on'), words.form.day, now);
  const notes = () => {
    if (struck.value === undefined || rooted.value === undefined || !on.value) {
      throw new TypeError('a rooting count without its numbers cannot be saved');
    }
    const body = { lot, struck: struck.value, rooted: rooted.value, on: on.value };
    return {
      notes: [intent('rooting', body, { id: form.id(0), ...(place.bed ? { bed: place.bed } : {}) })],
      said: words.rooting.saved(percent(rooted.value / struck.value)),
    };
  };
  return (
    <Frame
      title={words.forms.rooting}
      place={place}
      form={form}
      problems={problemsOf([lotAnswer(lot), struck, rooted, on])}
      notes={notes}
    >
      <LotPick form={form} place={place} name="rooting" />
      {(['struck', 'rooted'] as const).map((field) => (
        <CountField
          key={field}
          label={words.rooting[field]}
          {...form.field(field, field === 'struck' ? struck : rooted)}
        />
      ))}
      <DayField label={words.form.day} {...form.field('on', on)} now={now} />
    </Frame>
  );
}

function withShare(rooted: Answer<number>, struck: number | undefined): Answer<number> {
  const words = workWords.value.work;
  if (rooted.value === undefined || struck === undefined) return rooted;
  if (rooted.value > struck) return { problem: words.typed.rootedOver(String(struck)) };
  const share = rooted.value / struck;
  return { ...rooted, hint: (share < POOR_SHARE ? words.hint.rooted : words.hint.rootedWell)(percent(share)) };
}
