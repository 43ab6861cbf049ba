import { lots } from '../../../journal/records/registers';
import { intent } from '../../../journal/outbox/write';
import type { Intent } from '../../../journal/store/shape';
import { useEffect } from 'preact/hooks';
import { Button } from '../../../parts/Button';
import { Choice } from '../../../parts/Choice';
import { go } from '../../../router';
import { workWords } from '../../../words/rooms';
import { dayTyped } from '../../../forms/days';
import { CropField, knownCrops } from '../../../forms/CropField';
import { CountField, DayField, TextField } from '../../../forms/fields';
import { useForm } from '../../../forms/form';
import { Frame, Opening } from '../Frame';
import { GoalPick, goalOf } from '../picks';
import { addressOf, type Location } from '../../../forms/place';
import { nearly } from './near';
import { newTag, PotSizeField, potSize, TagField } from './lot-parts';
import { given, potsTyped, problemsOf, wordsTyped, type Answer } from '../../../forms/typed';

/** How the first pots of a lot come into its ledger. Those that stood there before any record are an opening count. */
const cameBy = ['potted', 'received', 'opening'] as const;
type CameBy = (typeof cameBy)[number];

/** A lot that stands there with its tags and is in no record yet. What nobody knows is left out, never guessed. */
export function NewLot({ place, code }: { place: Location; code: string }) {
  const words = workWords.value.work;
  const own: Location = { lot: '', bed: place.bed };
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
  const tag = newTag(form, words.lot.tag);
  const near = nearly(form.at('crop'), knownCrops());
  const cropTyped = wordsTyped(form.at('crop'), 'lot', 'crop', words.lot.crop, true);
  const crop = near === undefined ? cropTyped : { ...cropTyped, hint: words.hint.cropNear(near) };
  const cultivar = wordsTyped(form.at('cultivar'), 'lot', 'cultivar', words.lot.cultivar, true);
  const pot = potSize(form, words.lot.pot);
  const struck = dayTyped(form.at('struck'), words.lot.struck, now, true);
  const pottedDay = dayTyped(form.at('potted'), words.lot.potted, now, true);
  const isBefore = struck.value !== undefined && pottedDay.value !== undefined && pottedDay.value < struck.value;
  const potted = isBefore ? { problem: words.typed.before(words.lot.potted, words.lot.struck) } : pottedDay;
  const goal = goalOf(form, '', true);
  const pots = potsTyped(form.at('pots'), words.lot.pots, false);
  const way = cameBy.find((each) => each === form.at('came'));
  // Only pots that are counted in came somehow.
  const asked: Answer<CameBy> = pots.value ? { problem: words.typed.choice(words.lot.came) } : {};
  const came: Answer<CameBy> = way ? { value: way } : asked;
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
    if (pots.value && came.value) {
      const body = { lot: id, ...(span ? { span } : {}), change: pots.value, reason: came.value } as const;
      made.push(intent('count', body, { id: form.id(4), ...(stands ? { bed: stands.bed } : {}) }));
    }
    return { notes: made, said: words.lot.saved(tag.value ?? '') };
  };
  return (
    <Frame
      title={words.forms.lot}
      place={own}
      form={form}
      problems={problemsOf([tag, crop, cultivar, pot, struck, potted, ...goal, pots, came])}
      notes={notes}
      then={`/lot/${form.id(0)}`}
    >
      <TagField form={form} label={words.lot.tag} answer={tag} />
      <Button size="walk" onClick={() => go(`/scan?as=new&then=${encodeURIComponent(addressOf('lot', own))}`)}>
        {words.lot.scanTag}
      </Button>
      <CropField label={words.lot.crop} {...form.field('crop', crop)} />
      {near !== undefined && (
        <Button size="walk" onClick={() => form.set({ crop: near })}>
          {words.lot.useCrop(near)}
        </Button>
      )}
      <TextField
        label={words.lot.cultivar}
        {...form.field('cultivar', cultivar)}
        capitals="words"
        list={knownCultivars()}
      />
      <PotSizeField form={form} label={words.lot.pot} answer={pot} />
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
      <CountField label={words.lot.pots} {...form.field('pots', pots)} steps={[10, 100]} />
      {pots.value !== undefined && pots.value > 0 && (
        <Choice
          legend={words.lot.came}
          options={cameBy.map((each) => ({ value: each, label: words.lot.ways[each] }))}
          value={way}
          onChoose={(each) => form.set({ came: each })}
        />
      )}
    </Frame>
  );
}

/** The cultivars of other lots, most used first, so that one is not written in two ways. */
function knownCultivars(): string[] {
  const uses = new Map<string, number>();
  for (const { cultivar } of lots.value.values()) if (cultivar) uses.set(cultivar, (uses.get(cultivar) ?? 0) + 1);
  return [...uses].sort((a, b) => b[1] - a[1]).map(([cultivar]) => cultivar);
}
