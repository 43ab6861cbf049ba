import { limits } from '../../../../../schema/limits';
import type { Event } from '../../../../../schema/types';
import { coolers } from '../../../journal/records/input';
import { intent } from '../../../journal/outbox/write';
import type { Hazard } from '../../../parts/Caution';
import { Choice } from '../../../parts/Choice';
import { day as written } from '../../../words/format';
import { workWords } from '../../../words/rooms';
import { dayOf, dayTyped } from '../../../forms/days';
import { Hazards } from '../Cautions';
import { DayField, SelectField, WordsField } from '../../../forms/fields';
import { useForm } from '../../../forms/form';
import { eventsOf } from '../../../forms/tasks';
import { Frame, Opening } from '../Frame';
import { useFormTask } from '../ticks';
import { LotPick, lotAnswer, lotOf } from '../picks';
import type { Location } from '../../../forms/place';
import { problemsOf, wordsTyped } from '../../../forms/typed';

type What = Event['what'];

/** What is done on the beds week by week comes first; what mostly happens at the bench comes after. */
const often: readonly What[] = [
  'pinched',
  'clipped',
  'bypass_pulled',
  'buds_ready',
  'hardened',
  'into_cooler',
  'out_of_cooler',
  'into_forcing',
];
// Cuttings have a form of their own, which asks where they went.
const seldom = limits.event.what.oneof.filter((what) => what !== 'cuttings_taken' && !often.includes(what));

/** What can hurt somebody in a step of a lot's life, shown where the step is noted. */
const hazards: Partial<Record<What, Hazard>> = {
  clipped: 'blades',
  pinched: 'blades',
  bypass_pulled: 'blades',
  into_cooler: 'cooler',
  out_of_cooler: 'cooler',
  into_forcing: 'heat',
  stepped_up: 'lifting',
  shipped: 'lifting',
};

/** Something done to a lot on a day: pinch, clip, harden, cool, force and the other steps of its life. */
export function WorkDone({ place }: { place: Location }) {
  const words = workWords.value.work;
  const now = Date.now();
  const task = useFormTask(place);
  const steps = task ? eventsOf(task.step) : [];
  const isLast = task?.step === 'last_pinch';
  const fresh = {
    on: dayOf(now),
    ...(steps.length === 1 ? { what: steps[0] ?? '' } : {}),
    ...(isLast ? { last: 'yes' } : {}),
  };
  const form = useForm('event', place, fresh, task?.id);
  if (!form || task?.isReady === false) return <Opening title={words.forms.event} />;
  const lot = lotOf(form, place);
  const what = limits.event.what.oneof.find((each) => each === form.at('what'));
  const asked = what ? { value: what } : { problem: words.typed.choice(words.event.what) };
  const on = dayTyped(form.at('on'), words.form.day, now);
  const hazard = what && hazards[what];
  const more = wordsTyped(form.at('words'), 'event', 'words', words.form.words);
  const option = (each: What) => ({ value: each, label: words.event.whats[each] });
  const may = what === 'into_cooler' ? coolers() : [];
  const mayBeLast = what === 'pinched' || what === 'clipped';
  const last = mayBeLast && form.at('last') === 'yes';
  const fits = what !== undefined && steps.includes(what);
  const named = steps.map((each) => words.event.whats[each]);
  const unless = !fits ? words.form.ticksIf(named.join(' / ')) : isLast && !last ? words.event.lastAsked : '';
  // Of one cooler nobody has to ask.
  const cooler = may.length === 1 ? may[0]?.id : may.find(({ id }) => id === form.at('house'))?.id;
  const notes = () => {
    if (!what || !on.value) throw new TypeError('an event without its day cannot be saved');
    const body = {
      lot,
      what,
      on: on.value,
      ...(cooler ? { house: cooler } : {}),
      ...(last ? { last } : {}),
      ...(task && unless === '' ? { task: task.id } : {}),
      ...(more.value ? { words: more.value } : {}),
    };
    const where = place.bed ? { bed: place.bed } : {};
    return {
      notes: [intent('event', body, { id: form.id(0), ...where })],
      said: words.event.saved(words.event.whats[what], written(on.value)),
    };
  };
  return (
    <Frame
      title={words.forms.event}
      place={place}
      form={form}
      problems={problemsOf([lotAnswer(lot), asked, on, more])}
      notes={notes}
      ticks={task && { task, on: on.value, unless }}
    >
      <LotPick form={form} place={place} name="event" />
      <Choice
        legend={words.event.what}
        options={often.map(option)}
        value={what}
        columns={2}
        onChoose={(chosen) => form.set({ what: chosen })}
      />
      <Choice
        legend={words.event.other}
        options={seldom.map(option)}
        value={what}
        columns={2}
        onChoose={(chosen) => form.set({ what: chosen })}
      />
      {may.length > 1 && (
        <SelectField
          label={words.event.cooler}
          value={cooler ?? ''}
          none={words.form.notKnown}
          options={may.map(({ id, name }) => ({ value: id, label: name ?? '' }))}
          onChoose={(house) => form.set({ house })}
        />
      )}
      {mayBeLast && (
        <label class="tick">
          <input
            type="checkbox"
            checked={last}
            onChange={({ currentTarget }) => form.set({ last: currentTarget.checked ? 'yes' : 'no' })}
          />
          <span>{words.event.last}</span>
        </label>
      )}
      {hazard && <Hazards of={[hazard]} />}
      <DayField label={words.form.day} {...form.field('on', on)} now={now} />
      <WordsField label={words.form.wordsMore} {...form.field('words', more)} />
    </Frame>
  );
}
