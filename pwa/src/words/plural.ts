/** Counted things in the grammar of one language. */
import type { Language } from '.';
import { varietyOf } from './variety';

type Forms = { one: string; other: string; many?: string };

const rules = new Map<string, Intl.PluralRules>();
const numbers = new Map<string, Intl.NumberFormat>();

/**
 * True for numbers that are written alike in every language here. Nearly all are, and the first Intl.NumberFormat of a
 * start takes a slow phone a fifth of a second.
 */
export function isPlain(count: number): boolean {
  return Number.isInteger(count) && count >= 0 && count < 1000;
}

/** Makes a function that writes a count with its noun: counter('en', { one: 'pot', other: 'pots' })(3) is "3 pots". */
export function counter(language: Language, forms: Forms): (count: number) => string {
  return (count) => `${written(language, count)} ${form(language, count, forms)}`;
}

/** Only the noun (or verb) that goes with a count. */
export function form(language: Language, count: number, forms: Forms): string {
  let rule = rules.get(language);
  if (!rule) rules.set(language, (rule = new Intl.PluralRules(language)));
  const category = rule.select(count);
  return category === 'one' ? forms.one : category === 'many' ? (forms.many ?? forms.other) : forms.other;
}

/** A count by itself, with the separators of the language: 1,151. */
export function written(language: Language, count: number): string {
  if (isPlain(count)) return String(count);
  const variety = varietyOf(language);
  let format = numbers.get(variety);
  if (!format) numbers.set(variety, (format = new Intl.NumberFormat(variety)));
  return format.format(count);
}

/** Ends a sentence: "at 2:12 p.m." has its stop already. */
export function stop(sentence: string): string {
  return sentence.endsWith('.') ? sentence : `${sentence}.`;
}

/** Counts with commas between them, without those of which there are none. */
export function some(...counts: readonly (readonly [write: (count: number) => string, count: number])[]): string {
  return counts.flatMap(([write, count]) => (count > 0 ? [write(count)] : [])).join(', ');
}
