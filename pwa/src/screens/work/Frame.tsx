/** What every form has around its fields: its name, its place, what keeps it from being saved, and Save at the thumb. */
import type { ComponentChildren } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Intent } from '../../journal/store/shape';
import { Button } from '../../parts/Button';
import { Problems } from '../../parts/Problems';
import { say } from '../../parts/Toast';
import { back, go, Title } from '../../router';
import { appWords } from '../../words';
import { workWords } from '../../words/rooms';
import type { Form } from '../../forms/form';
import { addressOf, type Location } from '../../forms/place';
import { nameOfBed, nameOfLot } from '../../words/names';
import { saveForm } from '../../forms/saving';
import { useTicks, type Ticks } from './ticks';

interface Props {
  title: string;
  place: Location;
  form: Form;
  /** All that keeps the form from being saved, in the order of its fields. */
  problems: readonly string[];
  /** Asked only when there is no problem: what to save, and what to say then. */
  notes: () => Promise<{ notes: Intent[]; said: string }> | { notes: Intent[]; said: string };
  /** Where to go after saving; the sheet of the same place unless given. */
  then?: string;
  /** What saving it ticks, for a form that was opened from the work list; it leads back there. */
  ticks?: Ticks | undefined;
  children: ComponentChildren;
}

/** The number of a tick among the ids of what a form saves, after all that the form itself notes. */
const TICK = 0xff;

export function Frame({ title, place, form, problems, notes, then: after, ticks: given, children }: Props) {
  const ticks = useTicks(place, given);
  const then = ticks ? '/tasks' : after;
  const words = workWords.value.work.form;
  const [busy, setBusy] = useState(false);
  const summary = useRef<HTMLDivElement>(null);
  const sheet = addressOf('', place);
  const blocked = form.tried && problems.length > 0;
  useEffect(() => {
    if (blocked) summary.current?.focus();
  }, [blocked]);
  const submit = async () => {
    if (problems.length > 0) {
      form.trying();
      summary.current?.focus();
      return;
    }
    setBusy(true);
    const { notes: made, said } = await notes();
    if (ticks?.on && ticks.unless === '') made.push(ticks.task.tick(ticks.on, form.id(TICK)));
    const [here, fromSheet] = [`${location.pathname}${location.search}`, isFromSheet()];
    const saved = await saveForm(form, made, said, () => {
      form.putBack();
      // Whoever has gone on to something else finds the form half filled, and is not called back to it.
      if (location.pathname !== (then ?? '/work')) return;
      if (fromSheet && then === undefined) openFromSheet(here);
      else go(here, { instead: true });
    });
    setBusy(false);
    if (!saved) return;
    if (ticks) back('/tasks');
    else if (then === undefined && fromSheet) history.back();
    else go(then ?? sheet, { instead: true });
  };
  return (
    <main class="scout work with-foot">
      <Title text={title} />
      <PlaceLine place={place} />
      {ticks && (
        <p class={ticks.unless === '' ? 'ticks' : 'ticks attention'} role="status">
          {ticks.unless === '' ? words.ticks(ticks.task.name) : words.ticksNot(ticks.task.name, ticks.unless)}
        </p>
      )}
      <form
        onSubmit={(event) => {
          event.preventDefault();
          void submit();
        }}
        noValidate
      >
        {children}
        {blocked && <Problems box={summary} title={words.notYet} problems={problems} />}
        <Clearing form={form} />
        <div class="foot">
          <Button size="walk" onClick={() => back(sheet)}>
            {workWords.value.work.sheet.back}
          </Button>
          <Button kind="main" size="walk" submit disabled={busy}>
            {busy ? words.saving : words.save}
          </Button>
        </div>
      </form>
    </main>
  );
}

/** Says that what is typed stays, and clears it when asked; what was cleared comes back on Undo. */
export function Clearing({ form }: { form: Form }) {
  const words = workWords.value.work.form;
  if (!form.touched) return null;
  const clear = () => {
    form.clear();
    say(words.cleared, () => form.set(Object.fromEntries(form.fields())));
  };
  return (
    <p class="small quiet kept">
      {words.kept}{' '}
      <Button kind="quiet" size="walk" onClick={clear}>
        {words.clear}
      </Button>
    </p>
  );
}

/** "House 2, bed 14 · 0412 Corvane": which bed and lot a note is about. */
export function PlaceLine({ place }: { place: Location }) {
  const parts = [place.bed && nameOfBed(place.bed), place.lot && nameOfLot(place.lot)].filter(Boolean);
  return <p class="quiet where">{parts.length > 0 ? parts.join(' · ') : workWords.value.work.sheet.day}</p>;
}

/** Shown for the moment in which what was typed earlier is read. */
export function Opening({ title }: { title: string }) {
  return (
    <main class="scout work">
      <Title text={title} />
      <p class="quiet">{appWords.value.common.loading}</p>
    </main>
  );
}

/** The form that was opened from the sheet, so that saving it leads back there and not to a second sheet. */
let from = '';

export function openFromSheet(address: string): void {
  go(address);
  from = address;
}

function isFromSheet(): boolean {
  return from !== '' && from === `${location.pathname}${location.search}`;
}
