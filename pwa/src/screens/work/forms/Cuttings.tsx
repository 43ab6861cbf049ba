import { lots } from '../../../journal/records/registers';
import { intent } from '../../../journal/outbox/write';
import type { Intent } from '../../../journal/store/shape';
import { workWords } from '../../../words/rooms';
import { dayOf, dayTyped } from '../../../forms/days';
import { CountField, DayField, TextField } from '../../../forms/fields';
import { useForm } from '../../../forms/form';
import type { Location } from '../../../forms/place';
import { amount, given, potsTyped, problemsOf, wayOf, type Answer } from '../../../forms/typed';
import { Hazards } from '../Cautions';
import { Frame, Opening } from '../Frame';
import { GoalPick, goalOf, LotPick, lotAnswer, lotOf } from '../picks';
import { newTag, TagField } from './lot-parts';
import { leg, spanNote } from './Move';

/** Cuttings of a lot's plants, stuck as a new lot: what was taken, the new lot and its first count are saved together or not at all. */
export function Cuttings({ place }: { place: Location }) {
  const words = workWords.value.work;
  const now = Date.now();
  const form = useForm('cuttings', place, { on: dayOf(now) });
  if (!form) return <Opening title={words.forms.cuttings} />;
  const mother = lotOf(form, place);
  const plants = lots.value.get(mother);
  const taken = potsTyped(form.at('taken'), words.cuttings.taken);
  const thrown = someLeft(potsTyped(form.at('thrown'), words.cuttings.thrown, false), taken.value);
  const stuck = taken.value === undefined || thrown.problem ? undefined : taken.value - (thrown.value ?? 0);
  const tag = newTag(form, words.step.tag);
  const size = amount(form.at('pot'), {
    kind: 'lot',
    field: 'pot_mm',
    name: words.cuttings.size,
    measure: 'length',
  });
  const on = dayTyped(form.at('on'), words.cuttings.on, now);
  const goal = goalOf(form, '', true);
  const notes = () => {
    if (!taken.value || !stuck || !on.value || !tag.value) throw new TypeError('cuttings without what they are about');
    const child = form.id(0);
    const to = goal[0]?.value;
    const span = to ? form.id(1) : '';
    const where = to ? { bed: to.bed } : {};
    const made: Intent[] = [
      intent(
        'lot',
        {
          of: child,
          tag: tag.value,
          mother,
          ...(plants?.crop ? { crop: plants.crop } : {}),
          ...(plants?.cultivar ? { cultivar: plants.cultivar } : {}),
          ...given('pot_mm', size),
          struck_on: on.value,
        },
        { id: form.id(2) },
      ),
    ];
    if (to) made.push(spanNote(form, 3, span, child, to));
    made.push(
      intent(
        'event',
        { lot: mother, what: 'cuttings_taken', on: on.value, cuttings: taken.value, to: child },
        { id: form.id(4), ...(place.bed ? { bed: place.bed } : {}) },
      ),
      intent('count', { ...leg(child, span, stuck), reason: 'struck' }, { id: form.id(5), ...where }),
    );
    return { notes: made, said: words.cuttings.saved(stuck, tag.value) };
  };
  return (
    <Frame
      title={words.forms.cuttings}
      place={place}
      form={form}
      problems={problemsOf([lotAnswer(mother), taken, thrown, tag, size, on, ...goal])}
      notes={notes}
      then={`/lot/${form.id(0)}`}
    >
      <p class="quiet">{words.cuttings.intro}</p>
      <Hazards of={['blades']} />
      <LotPick form={form} place={place} name="cuttings" first={(lot) => lots.value.get(lot)?.stock === true} />
      <CountField label={words.cuttings.taken} {...form.field('taken', taken)} steps={[10, 100]} />
      <CountField label={words.cuttings.thrown} {...form.field('thrown', thrown)} />
      {stuck !== undefined && stuck > 0 && <p role="status">{words.cuttings.makes(stuck)}</p>}
      <TagField form={form} label={words.step.tag} answer={tag} />
      <TextField label={words.cuttings.size} {...form.field('pot', size)} mode="decimal" sign={wayOf('length').sign} />
      <DayField label={words.cuttings.on} {...form.field('on', on)} now={now} />
      <GoalPick form={form} lot="" label={words.lot.stands} mayBeNone />
    </Frame>
  );
}

/** Of the cuttings that were taken some must be left to stick. */
function someLeft(thrown: Answer<number>, taken: number | undefined): Answer<number> {
  if (thrown.value === undefined || taken === undefined || thrown.value < taken) return thrown;
  return { problem: workWords.value.work.cuttings.allThrown(taken) };
}
