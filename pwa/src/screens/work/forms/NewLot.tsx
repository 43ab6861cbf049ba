import { lots } from '../../../journal/things';
import { intent } from '../../../journal/write';
import type { Intent } from '../../../journal/shape';
import { useEffect } from 'preact/hooks';
import { Button } from '../../../parts/Button';
import { go } from '../../../router';
import { w } from '../../../words/work';
import { dayTyped } from '../days';
import { CountField, DayField, TextField } from '../fields';
import { useForm } from '../form';
import { Frame, Opening } from '../Frame';
import { GoalPick, goalOf } from '../picks';
import { addressOf, knownLots, lotName, type Place } from '../place';
import { amount, given, potsTyped, problemsOf, tagTyped, wayOf, wordsTyped } from '../typed';

/** A lot that stands there with its tags and is in no record yet. What nobody knows is left out, never guessed. */
export function NewLot({ place, code }: { place: Place; code: string }) {
  const words = w.value.work;
  const own: Place = { lot: '', bed: place.bed };
  const form = useForm('lot', own, { bed: place.bed });
  const isOpen = form !== undefined;
  useEffect(() => {
    if (!form || code === '') return;
    form.set({ tag: code });
    // A scanned code is taken over once: the address must not bring it back over what is typed later.
    go(addressOf('lot', own), { instead: true });
  }, [isOpen, code]);
  if (!form) return <Opening title={words.forms.lot} />;
  const now = Date.now();
  const typedTag = tagTyped(form.at('tag'), words.lot.tag);
  const same = knownLots().find((lot) => lot.tag?.toLowerCase() === typedTag.value?.toLowerCase());
  const tag = same ? { ...typedTag, hint: words.hint.tagThere(lotName(same.id)) } : typedTag;
  const crop = wordsTyped(form.at('crop'), 'lot', 'crop', words.lot.crop, true);
  const cultivar = wordsTyped(form.at('cultivar'), 'lot', 'cultivar', words.lot.cultivar, true);
  const pot = amount(form.at('pot'), {
    kind: 'lot',
    field: 'pot_mm',
    name: words.lot.pot,
    measure: 'length',
    must: true,
  });
  const struck = dayTyped(form.at('struck'), words.lot.struck, now, true);
  const pottedDay = dayTyped(form.at('potted'), words.lot.potted, now, true);
  const isBefore = struck.value !== undefined && pottedDay.value !== undefined && pottedDay.value < struck.value;
  const potted = isBefore ? { problem: words.typed.before(words.lot.potted, words.lot.struck) } : pottedDay;
  const goal = goalOf(form, '', true);
  const pots = potsTyped(form.at('pots'), words.lot.pots, false);
  const { tried } = form;

  const notes = () => {
    const id = form.id(0);
    const made: Intent[] = [
      intent(
        'lot',
        {
          of: id,
          ...given('tag', tag),
          ...given('crop', crop),
          ...given('cultivar', cultivar),
          ...given('pot_mm', pot),
          ...given('struck_on', struck),
          ...given('potted_on', potted),
        },
        { id: form.id(1) },
      ),
    ];
    const stands = goal[0]?.value;
    const span = stands ? form.id(2) : undefined;
    if (stands && span) {
      const body = { of: span, lot: id, bed: stands.bed, from_row: stands.from, to_row: stands.to };
      made.push(intent('span', body, { id: form.id(3) }));
    }
    if (pots.value) {
      const body = { lot: id, ...(span ? { span } : {}), change: pots.value, reason: 'found' } as const;
      made.push(intent('count', body, { id: form.id(4), ...(stands ? { bed: stands.bed } : {}) }));
    }
    return { notes: made, said: words.lot.saved(tag.value ?? '') };
  };
  return (
    <Frame
      title={words.forms.lot}
      place={own}
      form={form}
      problems={problemsOf([tag, crop, cultivar, pot, struck, potted, ...goal, pots])}
      notes={notes}
      then={`/lot/${form.id(0)}`}
    >
      <TextField
        label={words.lot.tag}
        typed={form.at('tag')}
        answer={tag}
        tried={tried}
        capitals="characters"
        onType={(text) => form.set({ tag: text })}
      />
      <Button size="walk" onClick={() => go(`/scan?as=new&then=${encodeURIComponent(addressOf('lot', own))}`)}>
        {words.lot.scanTag}
      </Button>
      <TextField
        label={words.lot.crop}
        typed={form.at('crop')}
        answer={crop}
        tried={tried}
        list={known('crop')}
        onType={(text) => form.set({ crop: text })}
      />
      <TextField
        label={words.lot.cultivar}
        typed={form.at('cultivar')}
        answer={cultivar}
        tried={tried}
        capitals="words"
        list={known('cultivar')}
        onType={(text) => form.set({ cultivar: text })}
      />
      <TextField
        label={words.lot.pot}
        typed={form.at('pot')}
        answer={pot}
        tried={tried}
        mode="decimal"
        sign={wayOf('length').sign}
        onType={(text) => form.set({ pot: text })}
      />
      <DayField
        label={words.lot.struck}
        typed={form.at('struck')}
        answer={struck}
        tried={tried}
        now={now}
        mayBeUnknown
        onType={(day) => form.set({ struck: day })}
      />
      <DayField
        label={words.lot.potted}
        typed={form.at('potted')}
        answer={potted}
        tried={tried}
        now={now}
        mayBeUnknown
        onType={(day) => form.set({ potted: day })}
      />
      <GoalPick form={form} lot="" label={words.lot.stands} mayBeNone />
      <CountField
        label={words.lot.pots}
        typed={form.at('pots')}
        answer={pots}
        tried={tried}
        steps={[10, 100]}
        onType={(text) => form.set({ pots: text })}
      />
    </Frame>
  );
}

/** What other lots have, most used first, so that one cultivar is not written in two ways. */
function known(field: 'crop' | 'cultivar'): string[] {
  const uses = new Map<string, number>();
  for (const lot of lots.value.values()) {
    const value = lot[field];
    if (value) uses.set(value, (uses.get(value) ?? 0) + 1);
  }
  return [...uses].sort((a, b) => b[1] - a[1]).map(([value]) => value);
}
