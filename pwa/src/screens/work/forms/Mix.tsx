/** How much product makes a mix: arithmetic from the container's strength, kept as it is typed, noted nowhere. */
import { parse } from '../../../../../sync/unit/unit';
import { activePerPot, litresFor, product, type By } from '../../../../../sync/mix/mix';
import { Button } from '../../../parts/Button';
import { Choice } from '../../../parts/Choice';
import { back, Title } from '../../../router';
import { units } from '../../../words';
import { locale } from '../../../words/format';
import { w } from '../../../words/work';
import { Cautions } from '../Cautions';
import { TextField } from '../fields';
import { useForm, type Form } from '../form';
import { Opening, PlaceLine } from '../Frame';
import { addressOf, type Place } from '../place';

/** By definition of the US gallon (231 cubic inches) and its 128th part, and of the avoirdupois ounce. */
const LITRES_A_GALLON = 3.785411784;
const ML_A_FLUID_OUNCE = 29.5735295625;
const GRAMS_AN_OUNCE = 28.349523125;

const kinds: readonly By[] = ['dry', 'volume', 'weight'];

export function Mix({ place }: { place: Place }) {
  const words = w.value.work;
  const form = useForm('mix', { lot: '', bed: '' });
  if (!form) return <Opening title={words.forms.mix} />;
  const names = words.mix;
  const by = kinds.find((each) => each === form.at('by'));
  const isDrench = form.at('use') === 'drench';
  const isGallons = units.value.volume === 'gal';
  const field = (name: string, label: string, sign: string, note?: string) => (
    <TextField
      label={label}
      typed={form.at(name)}
      answer={problemOf(form.at(name), label)}
      tried={false}
      mode="decimal"
      sign={sign}
      {...(note ? { note } : {})}
      onType={(text) => form.set({ [name]: text })}
    />
  );
  return (
    <main class="scout work with-foot">
      <Title text={words.forms.mix} />
      <PlaceLine place={place} />
      <Cautions mix />
      <Choice
        legend={names.by}
        options={kinds.map((each) => ({ value: each, label: names.bys[each] }))}
        value={by}
        columns={1}
        onChoose={(each) => form.set({ by: each })}
      />
      {field('percent', names.percent, '%', names.percentHint)}
      {by === 'weight' && field('density', names.density, 'g/mL')}
      {field('ppm', names.ppm, 'ppm')}
      <Choice
        legend={names.use}
        options={(['spray', 'drench'] as const).map((use) => ({ value: use, label: names.uses[use] }))}
        value={form.at('use') || 'spray'}
        onChoose={(use) => form.set({ use })}
      />
      {isDrench ? (
        <>
          {field('pots', names.pots, '')}
          {field('each', names.each, isGallons ? 'fl oz' : 'mL')}
        </>
      ) : (
        field('volume', names.volume, isGallons ? 'gal' : 'L')
      )}
      <Answered form={form} by={by} isDrench={isDrench} isGallons={isGallons} />
      <div class="foot">
        <Button size="walk" onClick={() => form.clear()}>
          {words.form.clear}
        </Button>
        <Button size="walk" onClick={() => back(addressOf('', place))}>
          {words.sheet.back}
        </Button>
      </div>
    </main>
  );
}

interface Given {
  form: Form;
  by: By | undefined;
  isDrench: boolean;
  isGallons: boolean;
}

function Answered({ form, by, isDrench, isGallons }: Given) {
  const words = w.value.work.mix;
  const read = (name: string) => plain(form.at(name));
  const each = (read('each') ?? 0) * (isGallons ? ML_A_FLUID_OUNCE : 1);
  const sprayed = (read('volume') ?? 0) * (isGallons ? LITRES_A_GALLON : 1);
  const litres = isDrench ? litresFor(read('pots') ?? 0, each) : sprayed;
  const needed = [
    'percent',
    'ppm',
    ...(by === 'weight' ? ['density'] : []),
    ...(isDrench ? ['pots', 'each'] : ['volume']),
  ];
  const isWhole = by !== undefined && needed.every((name) => read(name) !== undefined);
  if (!isWhole) return <p class="quiet">{words.not}</p>;
  const container = { percent: read('percent') ?? 0, by, gramsPerMl: read('density') ?? 0 };
  const mixed = product(read('ppm') ?? 0, litres, container);
  if (!mixed.ok) {
    return (
      <p class="problems" role="alert">
        {words.problems[mixed.field]}
      </p>
    );
  }
  const volume = isGallons ? `${short(litres / LITRES_A_GALLON)}\u202fgal` : `${short(litres)}\u202fL`;
  const metric = `${short(mixed.amount)}\u202f${by === 'dry' ? 'g' : 'mL'}`;
  const ounces = mixed.amount / (by === 'dry' ? GRAMS_AN_OUNCE : ML_A_FLUID_OUNCE);
  const customary = `${short(ounces)}\u202f${by === 'dry' ? 'oz' : 'fl oz'}`;
  return (
    <div class="closes" role="status">
      <p class="headline">{words.result(isGallons ? customary : metric, volume)}</p>
      <p>{words.also(isGallons ? metric : customary)}</p>
      {isDrench && <p>{words.perPot(short(activePerPot(read('ppm') ?? 0, each)))}</p>}
    </div>
  );
}

/** A typed number; undefined where it is none. */
function plain(text: string): number | undefined {
  const typed = parse(text);
  return typed.ok ? typed.value.digits / 10 ** typed.value.places : undefined;
}

function problemOf(text: string, name: string): { problem?: string } {
  const typed = parse(text);
  return typed.ok || typed.code === 'empty' ? {} : { problem: w.value.work.typed.noNumber(name) };
}

/** To four digits that count, without noughts at the end: finer than a scale or a measuring glass in a nursery. */
function short(value: number): string {
  return new Intl.NumberFormat(locale(), { maximumSignificantDigits: 4 }).format(value);
}
