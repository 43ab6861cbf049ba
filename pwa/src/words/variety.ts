/** Which regional variety of a language numbers and days are written in (es-MX writes 41.73 where es-ES writes 41,73). */
import type { Language, Units } from '.';

/** Where Spanish is a language of the country or of many of its crews, so that Unicode's CLDR has a Spanish for it. */
const spanish = new Set(
  'AR BO CL CO CR CU DO EC ES GQ GT HN MX NI PA PE PR PY SV US UY VE'.split(' ').map((region) => region.toLowerCase()),
);
const english = new Set(['gb', 'us']);
/** Where English is spelled as in the United States; "" is English of no region, which CLDR takes for American. */
const american = new Set(['', 'us', 'pr', 'ph', 'gu', 'vi', 'as', 'mp', 'lr']);

/**
 * The variety that the device names itself; else the language as its country writes it. A phone in English that is read
 * in Spanish must not write a decimal comma for crews that read one as a thousands mark: so its country counts, and
 * Mexico where that tells nothing.
 *
 * @param tags what the device says of itself, most wanted first (BCP 47, as in navigator.languages)
 */
export function varietyOf(language: Language, tags: readonly string[] = navigator.languages): string {
  const own = tags.find((tag) => tag.toLowerCase().startsWith(`${language}-`) && regionOf(tag) !== '');
  if (own !== undefined) return own;
  const region = regionOf(tags[0] ?? '');
  if (language === 'es') return `es-${spanish.has(region) ? region.toUpperCase() : 'MX'}`;
  return english.has(region) ? `en-${region.toUpperCase()}` : 'en';
}

/** The region in a language tag, in small letters: "us" of "en-Latn-US", "419" of "es-419", "" where there is none. */
function regionOf(tag: string): string {
  const [, ...subtags] = tag.toLowerCase().split('-');
  const extension = subtags.findIndex((subtag) => subtag.length === 1);
  const own = extension < 0 ? subtags : subtags.slice(0, extension);
  return own.find((subtag) => /^([a-z]{2}|\d{3})$/.test(subtag)) ?? '';
}

/**
 * Where pots are measured in inches: the United States with its territories, and Liberia (Unicode CLDR, measurementData, from memory;
 * that the territories' trade follows the mainland is common practice, no source).
 */
const customary = new Set(['us', 'pr', 'gu', 'vi', 'as', 'mp', 'lr']);

/** The region that the device names first, in small letters; "" where it names none. */
export function regionOfDevice(tags: readonly string[] = navigator.languages): string {
  return tags.map(regionOf).find((each) => each !== '') ?? '';
}

/** The units of the device's region, for whoever has chosen none. A device that names no region measures in metres. */
export function unitsOfDevice(tags: readonly string[] = navigator.languages): Units {
  return customary.has(regionOfDevice(tags))
    ? { length: 'in', temperature: 'F', volume: 'gal' }
    : { length: 'cm', temperature: 'C', volume: 'L' };
}

/** The same English word as the device's region spells it: the region that also writes its days and times. */
export function spelling(inAmerica: string, elsewhere: string): string {
  return american.has(regionOf(varietyOf('en'))) ? inAmerica : elsewhere;
}
