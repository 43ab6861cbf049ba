/** How much product makes a mix: arithmetic from the container's strength, kept as it is typed, noted nowhere. */
import { activePerPot, DENSITY, litresFor, product, type By } from '../../../../../sync/mix/mix';
import { Button } from '../../../parts/Button';
import { Choice } from '../../../parts/Choice';
import { back, Title } from '../../../router';
import { units } from '../../../words';
import { locale } from '../../../words/format';
import { workWords } from '../../../words/rooms';
import { Cautions } from '../Cautions';
import { TextField } from '../../../forms/fields';
import { useForm, type Form } from '../../../forms/form';
import { Clearing, Opening, PlaceLine } from '../Frame';
import { addressOf, type Location } from '../../../forms/place';
import { plainNumber, type Answer } from '../../../forms/typed';

/** By definition of the US gallon (231 cubic inches) and its 128th part, and of the avoirdupois ounce. */
const LITRES_A_GALLON = 3.785411784;
const ML_A_FLUID_OUNCE = 29.5735295625;
const GRAMS_AN_OUNCE = 28.349523125;

type FieldName = 'percent' | 'density' | 'ppm' | 'pots' | 'each' | 'volume';

const kinds: readonly By[] = ['dry', 'volume', 'weight'];

export function Mix({ place }: { place: Location }) {
  const words = workWords.value.work;
  const form = useForm('mix', { lot: '', bed: '' });
  if (!form) return <Opening title={words.forms.mix} />;
  const names = words.mix;
  const by = kinds.find((each) => each === form.at('by'));
  const isDrench = form.at('use') === 'drench';
  const isGallons = units.value.volume === 'gal';
  const field = (name: FieldName, label: string, sign: string, note?: string) => (
    <TextField
      label={label}
      typed={form.at(name)}
      answer={typedAs(form, name)}
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
      <Clearing form={form} />
      <div class="foot">
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
  const words = workWords.value.work.mix;
  const read = (name: FieldName) => typedAs(form, name).value;
  const each = (read('each') ?? 0) * (isGallons ? ML_A_FLUID_OUNCE : 1);
  const sprayed = (read('volume') ?? 0) * (isGallons ? LITRES_A_GALLON : 1);
  const litres = isDrench ? litresFor(read('pots') ?? 0, each) : sprayed;
  const needed: FieldName[] = [
    'percent',
    'ppm',
    ...(by === 'weight' ? (['density'] as const) : []),
    ...(isDrench ? (['pots', 'each'] as const) : (['volume'] as const)),
  ];
  const isWhole = by !== undefined && needed.every((name) => read(name) !== undefined);
  if (!isWhole) return <p class="quiet">{words.not}</p>;
  const container = { percent: read('percent') ?? 0, by, gramsPerMl: read('density') ?? 0 };
  const mixed = product(read('ppm') ?? 0, litres, container);
  if (!mixed.ok) {
    return (
      <p class="problems" role="alert">
        {mixed.field === 'density' ? words.problems.density() : words.problems[mixed.field]}
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

/** What a field says. A strength or density that no container has is reported as it is typed, before there is any result. */
function typedAs(form: Form, name: FieldName): Answer<number> {
  const { mix, typed } = workWords.value.work;
  const answer = plainNumber(form.at(name), mix[name]);
  const { value } = answer;
  if (value === undefined) return answer;
  if (name === 'percent' && !(value > 0 && value <= 100)) return { problem: mix.problems.percent };
  if (name === 'density' && !(value >= DENSITY.least && value <= DENSITY.most))
    return { problem: mix.problems.density() };
  if (name === 'pots' && !Number.isInteger(value)) return { problem: typed.whole(mix.pots) };
  return value > 0 ? answer : { problem: typed.zero(mix[name]) };
}

/** To four digits that count, without noughts at the end: finer than a scale or a measuring glass in a nursery. */
function short(value: number): string {
  return new Intl.NumberFormat(locale(), { maximumSignificantDigits: 4 }).format(value);
}
