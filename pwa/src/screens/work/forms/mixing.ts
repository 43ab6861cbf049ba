/** What the mix calculator computes from its fields: the same lines on the screen and on the batch sheet. */
import {
  activePerPot,
  DENSITY,
  fertilizerStock,
  LITRES_A_GALLON,
  litresFor,
  litresOver,
  percentOfPounds,
  product,
  type By,
} from '../../../../../sync/mix/mix';
import type { Form } from '../../../forms/form';
import { plainNumber, type Answer } from '../../../forms/typed';
import { units } from '../../../words';
import { locale } from '../../../words/format';
import { spelling } from '../../../words/variety';
import { workWords } from '../../../words/rooms';
import type { Sum } from '../Sum';

/** By definition of the US gallon and its 128th and fourth parts, the avoirdupois ounce, and the international foot. */
const ML_A_FLUID_OUNCE = 29.5735295625;
const ML_A_QUART = 946.352946;
const GRAMS_AN_OUNCE = 28.349523125;
const M2_A_SQUARE_FOOT = 0.09290304;

export const uses = ['spray', 'area', 'drench', 'feed'] as const;
export type Use = (typeof uses)[number];

/** How strong the container says it is. Pounds to the gallon are a liquid's. */
export const strengths = ['dry', 'volume', 'weight', 'pounds'] as const satisfies readonly (By | 'pounds')[];
export type Strength = (typeof strengths)[number];

export type MixField =
  | 'percent'
  | 'pounds'
  | 'density'
  | 'ppm'
  | 'volume'
  | 'area'
  | 'rate'
  | 'pots'
  | 'each'
  | 'feedPercent'
  | 'feedPpm'
  | 'ratio'
  | 'stock';

export function useOf(form: Form): Use {
  return uses.find((use) => use === form.at('use')) ?? 'spray';
}

export function strengthOf(form: Form): Strength | undefined {
  return strengths.find((each) => each === form.at('by'));
}

/** The fields that are asked, in their order. */
export function fieldsOf(use: Use, by: Strength | undefined): MixField[] {
  if (use === 'feed') return ['feedPercent', 'feedPpm', 'ratio', 'stock'];
  const strength: MixField[] = by === 'pounds' ? ['pounds'] : by === 'weight' ? ['percent', 'density'] : ['percent'];
  const amount: MixField[] = { spray: ['volume'], area: ['area', 'rate'], drench: ['pots', 'each'] }[use] as MixField[];
  return [...strength, 'ppm', ...amount];
}

/** Whether somebody who measures in litres may have a tank with marks in imperial gallons: where English is spelled as in Britain. */
export function mayBeImperial(form: Form): boolean {
  return (
    units.value.volume === 'L' &&
    spelling('', 'imperial') !== '' &&
    tankFields.some((each) => fieldsOf(useOf(form), undefined).includes(each))
  );
}

const tankFields: readonly MixField[] = ['volume', 'stock'];

function isImperial(form: Form): boolean {
  return mayBeImperial(form) && form.at('tank') === 'imperial';
}

/** Litres of what was typed as the volume of a tank. */
function litresIn(form: Form, typed: number): number {
  if (isImperial(form)) return typed * LITRES_A_GALLON.imperial;
  return units.value.volume === 'gal' ? typed * LITRES_A_GALLON.us : typed;
}

/** What stands behind a field, in the units of the person who types. */
export function signOf(field: MixField, form: Form): string {
  const isGallons = units.value.volume === 'gal';
  const tank = isImperial(form) ? 'imp gal' : isGallons ? 'US gal' : 'L';
  const signs: { readonly [name in MixField]: string } = {
    percent: '%',
    pounds: 'lb/gal',
    density: 'g/mL',
    ppm: 'ppm',
    volume: tank,
    area: isGallons ? 'ft²' : 'm²',
    rate: isGallons ? 'qt/100 ft²' : 'mL/m²',
    pots: '',
    each: isGallons ? 'fl oz' : 'mL',
    feedPercent: '%',
    feedPpm: 'ppm',
    ratio: '',
    stock: tank,
  };
  return signs[field];
}

/** What a field says. A strength or density that no container has is reported as it is typed, before there is any result. */
export function typedAs(form: Form, name: MixField): Answer<number> {
  const { mix, typed } = workWords.value.work;
  const answer = plainNumber(form.at(name), mix.fields[name]);
  const { value } = answer;
  if (value === undefined) return answer;
  if (name === 'percent' && !(value > 0 && value <= 100)) return { problem: mix.problems.percent };
  if (name === 'feedPercent' && !(value > 0 && value <= 100)) return { problem: mix.problems.feedPercent };
  if (name === 'density' && !(value >= DENSITY.least && value <= DENSITY.most)) {
    return { problem: mix.problems.density() };
  }
  if (name === 'pots' && !Number.isInteger(value)) return { problem: typed.whole(mix.fields.pots) };
  return value > 0 ? answer : { problem: typed.zero(mix.fields[name]) };
}

/** What to weigh or measure, and what goes with it. Undefined while a field is still empty or wrong. */
export function mixtureOf(form: Form): Sum | undefined {
  const use = useOf(form);
  const by = strengthOf(form);
  const read = (name: MixField) => typedAs(form, name).value;
  if (use !== 'feed' && by === undefined) return undefined;
  if (fieldsOf(use, by).some((name) => read(name) === undefined)) return undefined;
  const litres = litresIn(form, read(use === 'feed' ? 'stock' : 'volume') ?? 0);
  return use === 'feed' ? stockOf(read, litres) : mixOf(use, by ?? 'dry', read, litres);
}

type Read = (name: MixField) => number | undefined;

function stockOf(read: Read, litres: number): Sum {
  const words = workWords.value.work.mix;
  const isGallons = units.value.volume === 'gal';
  const ratio = read('ratio') ?? 0;
  const stock = fertilizerStock(read('feedPpm') ?? 0, read('feedPercent') ?? 0, ratio);
  if (!stock.ok) return { problem: words.problems[stock.field] };
  const grams = stock.gramsALitre * litres;
  const [metric, customary] = [`${short(grams)}\u202fg`, `${short(grams / GRAMS_AN_OUNCE)}\u202foz`];
  const perLitre = `${short(stock.gramsALitre)}\u202fg/L`;
  const perGallon = `${short((stock.gramsALitre * LITRES_A_GALLON.us) / GRAMS_AN_OUNCE)}\u202foz/US gal`;
  return {
    headline: words.stockResult(isGallons ? customary : metric, volumeSaid(litres, isGallons)),
    lines: [
      words.also(isGallons ? metric : customary),
      words.stockEach(perLitre, perGallon),
      words.stockMakes(volumeSaid(litres * ratio, isGallons), short(read('feedPpm') ?? 0)),
    ],
  };
}

function mixOf(use: Use, by: Strength, read: Read, tank: number): Sum {
  const words = workWords.value.work.mix;
  const isGallons = units.value.volume === 'gal';
  const each = (read('each') ?? 0) * (isGallons ? ML_A_FLUID_OUNCE : 1);
  const squareMetres = (read('area') ?? 0) * (isGallons ? M2_A_SQUARE_FOOT : 1);
  const over = isGallons ? ((read('rate') ?? 0) * ML_A_QUART) / (100 * M2_A_SQUARE_FOOT) : (read('rate') ?? 0);
  const litres = {
    spray: tank,
    area: litresOver(squareMetres, over),
    drench: litresFor(read('pots') ?? 0, each),
    feed: 0,
  }[use];
  const percent = by === 'pounds' ? percentOfPounds(read('pounds') ?? 0) : (read('percent') ?? 0);
  const mixed = product(read('ppm') ?? 0, litres, {
    percent,
    by: by === 'pounds' ? 'volume' : by,
    gramsPerMl: read('density') ?? 0,
  });
  if (!mixed.ok) {
    return { problem: mixed.field === 'density' ? words.problems.density() : words.problems[mixed.field] };
  }
  const metric = `${short(mixed.amount)}\u202f${by === 'dry' ? 'g' : 'mL'}`;
  const ounces = mixed.amount / (by === 'dry' ? GRAMS_AN_OUNCE : ML_A_FLUID_OUNCE);
  const customary = `${short(ounces)}\u202f${by === 'dry' ? 'oz' : 'fl oz'}`;
  return {
    headline: words.result(isGallons ? customary : metric, volumeSaid(litres, isGallons)),
    lines: [
      words.also(isGallons ? metric : customary),
      ...(by === 'pounds' ? [words.asPercent(short(percent))] : []),
      ...(use === 'drench' ? [words.perPot(short(activePerPot(read('ppm') ?? 0, each)))] : []),
    ],
  };
}

function volumeSaid(litres: number, isGallons: boolean): string {
  return isGallons ? `${short(litres / LITRES_A_GALLON.us)}\u202fUS gal` : `${short(litres)}\u202fL`;
}

/** To four digits that count, without noughts at the end: finer than a scale or a measuring glass in a nursery. */
function short(value: number): string {
  return new Intl.NumberFormat(locale(), { maximumSignificantDigits: 4 }).format(value);
}
