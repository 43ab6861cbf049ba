import { firstReading } from '../../../journal/inbox/arriving';
import { lots, stock } from '../../../journal/records/registers';
import { intent } from '../../../journal/outbox/write';
import type { Intent } from '../../../journal/store/shape';
import { number } from '../../../words/format';
import { workWords } from '../../../words/rooms';
import { dayOf, dayTyped } from '../../../forms/days';
import { Hazards } from '../Cautions';
import { CountField, DayField } from '../../../forms/fields';
import { useForm } from '../../../forms/form';
import { Frame, Opening } from '../Frame';
import { useFormTask } from '../ticks';
import { GoalPick, goalOf, LotPick, lotAnswer, lotOf, stretchOf, StretchPick } from '../picks';
import type { Location } from '../../../forms/place';
import { amount, given, potsTyped, problemsOf, type Answer } from '../../../forms/typed';
import { newTag, PotSizeField, potSize, TagField } from './lot-parts';
import { endOfSpan, leg, moreThanThere, spanNote } from './Move';

/**
 * Pots on into a larger pot, one to a pot or several: a child lot, the move of its pots and the loss on the way, saved together or not at
 * all. Counted in plants the move adds up to nothing.
 */
export function StepUp({ place }: { place: Location }) {
  const words = workWords.value.work;
  const now = Date.now();
  const task = useFormTask(place);
  const all = stock.value.get(place.lot)?.pots;
  const fresh = {
    on: dayOf(now),
    each: String(lots.value.get(place.lot)?.plants_each ?? 1),
    ...(task && all !== undefined && all > 0 ? { pots: String(all) } : {}),
  };
  const form = useForm('step', place, fresh, task?.id);
  if (!form || task?.isReady === false) return <Opening title={words.forms.step} />;
  const lot = lotOf(form, place);
  const parent = lots.value.get(lot);
  const from = stretchOf(form, place, lot);
  const there = from.value?.standing;
  const tag = newTag(form, words.step.tag);
  const held = parent?.plants_each ?? 1;
  const each = plantsTyped(form.at('each'), words.step.each, held);
  const pots = nothingOver(moreThanThere(potsTyped(form.at('pots'), words.step.pots), there), held, each.value);
  const newPots = pots.value !== undefined && each.value ? (pots.value * held) / each.value : undefined;
  const lost = potsTyped(form.at('lost'), words.step.loss, false);
  const pot = potSize(form, words.step.pot);
  const on = dayTyped(form.at('on'), words.step.on, now);
  const goal = goalOf(form, '', true);

  // With pots left in the lot the step is still to be taken.
  const left =
    (firstReading.value === undefined ? (all ?? Number.NaN) : Number.NaN) - (pots.value ?? 0) - (lost.value ?? 0);
  const unless = left > 0 ? words.step.left(left) : '';

  const notes = () => {
    if (!from.value || !pots.value || !newPots || !each.value || !on.value || !tag.value) {
      throw new TypeError('a step-up lacks what it is about');
    }
    const child = form.id(0);
    const to = goal[0]?.value;
    const span = to ? form.id(1) : '';
    const made: Intent[] = [
      intent(
        'lot',
        {
          of: child,
          tag: tag.value,
          parent: lot,
          ...(parent?.crop ? { crop: parent.crop } : {}),
          ...(parent?.cultivar ? { cultivar: parent.cultivar } : {}),
          ...(parent?.struck_on ? { struck_on: parent.struck_on } : {}),
          ...given('pot_mm', pot),
          ...several(each.value),
          potted_on: on.value,
        },
        { id: form.id(2) },
      ),
    ];
    if (to) made.push(spanNote(form, 3, span, child, to));
    const where = from.value.bed ? { bed: from.value.bed } : {};
    made.push(
      intent(
        'move',
        {
          legs: [
            { ...leg(lot, from.value.span, -pots.value), ...several(held) },
            { ...leg(child, span, newPots), ...several(each.value) },
          ],
          why: 'step_up',
        },
        { id: form.id(4), lot, ...where },
      ),
      intent(
        'event',
        { lot: child, what: 'stepped_up', on: on.value, ...(task && unless === '' ? { task: task.id } : {}) },
        { id: form.id(5), ...(to ? { bed: to.bed } : {}) },
      ),
    );
    if (lost.value) {
      const loss = { ...leg(lot, from.value.span, -lost.value), reason: 'culled' } as const;
      made.push(intent('count', loss, { id: form.id(6), ...where }));
    }
    const leftThere = (there ?? Number.NaN) - pots.value - (lost.value ?? 0);
    if (from.value.span !== '' && leftThere === 0) made.push(endOfSpan(form, 7, lot, from.value));
    return { notes: made, said: words.step.saved(newPots, tag.value) };
  };
  return (
    <Frame
      title={words.forms.step}
      place={place}
      form={form}
      problems={problemsOf([lotAnswer(lot), from, pots, each, tag, pot, on, ...goal, lost])}
      notes={notes}
      then={`/lot/${form.id(0)}`}
      ticks={task && { task, on: on.value, unless }}
    >
      <p class="quiet">{words.step.intro}</p>
      <Hazards of={['lifting', 'peat']} />
      <LotPick form={form} place={place} name="step" />
      <StretchPick form={form} place={place} lot={lot} />
      <CountField label={words.step.pots} {...form.field('pots', pots)} steps={[10, 100]} />
      <CountField label={words.step.each} {...form.field('each', each)} steps={[1]} />
      {newPots !== undefined && (held > 1 || each.value !== 1) && (
        <p role="status">{words.step.makes((pots.value ?? 0) * held, newPots, each.value ?? 1)}</p>
      )}
      <TagField form={form} label={words.step.tag} answer={tag} />
      <PotSizeField form={form} label={words.step.pot} answer={pot} />
      <DayField label={words.step.on} {...form.field('on', on)} now={now} />
      <GoalPick form={form} lot="" label={words.lot.stands} mayBeNone />
      <CountField label={words.step.loss} {...form.field('lost', lost)} />
    </Frame>
  );
}

/** How many plants grow in a pot; of a single one nothing is written, as before there were others. */
function several(plants: number): { plants_each?: number } {
  return plants > 1 ? { plants_each: plants } : {};
}

/** The plants in each new pot; fewer than the old pots hold are asked about, since these would have to be taken apart. */
function plantsTyped(text: string, name: string, held: number): Answer<number> {
  const typed = amount(text, { kind: 'lot', field: 'plants_each', name, measure: 'count', must: true });
  return typed.value !== undefined && typed.value < held
    ? { ...typed, hint: workWords.value.work.step.apart(held) }
    : typed;
}

/** The plants of so many pots must fill the new ones: what would be over is said, with the next numbers of pots that leave nothing. */
function nothingOver(pots: Answer<number>, held: number, each: number | undefined): Answer<number> {
  const isOver = (count: number) => (count * held) % (each ?? 1) !== 0;
  if (pots.value === undefined || !isOver(pots.value)) return pots;
  let [fewer, more] = [pots.value, pots.value];
  while (isOver(fewer)) fewer--;
  while (isOver(more)) more++;
  const plants = pots.value * held;
  const { over } = workWords.value.work.step;
  return { problem: over(plants, each ?? 1, plants % (each ?? 1), fewer > 0 ? number(fewer) : '', number(more)) };
}
