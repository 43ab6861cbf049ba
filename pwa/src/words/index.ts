/**
 * Every word on the screen comes from here: `appWords.value.common.save`, or a function where the sentence holds numbers.
 *
 * Each language is a tree of plain TypeScript; the Spanish one `satisfies` the English, so a missing or surplus key
 * does not compile. English is in the first load, any other language comes when asked for. Words that only the
 * supervisor’s pages show are in ./supervisor.ts, out of the scout's load. How numbers, days and units are written is in ./format.ts.
 */
import { computed, signal, type ReadonlySignal } from '@preact/signals';
import { en } from './en';

export type Words = typeof en;
export type Language = 'en' | 'es';

export interface Units {
  readonly length: 'cm' | 'in';
  readonly temperature: 'C' | 'F';
  readonly volume: 'L' | 'gal';
}

export const languages: readonly Language[] = ['en', 'es'];

const spoken = signal<{ language: Language; words: Words }>({ language: 'en', words: en });

/** The language now on the screen; changed by speak alone, so that it never runs ahead of its words. */
export const language: ReadonlySignal<Language> = computed(() => spoken.value.language);

/** The words now on the screen. Components that read it are drawn again when the language changes. */
export const appWords: ReadonlySignal<Words> = computed(() => spoken.value.words);

/** The units that measures are shown and asked in; they are always written down in the schema's own. */
export const units = signal<Units>({ length: 'cm', temperature: 'C', volume: 'L' });

/** Changes the language of the whole app. Settles when the words are there. */
export async function speak(wanted: Language): Promise<void> {
  const words = wanted === 'es' ? (await import('./es')).es : en;
  spoken.value = { language: wanted, words };
  document.documentElement.lang = wanted;
}

/** The first of the device's own languages that Bedwalk speaks, else English. */
export function languageOfDevice(wanted: readonly string[] = navigator.languages): Language {
  for (const tag of wanted) {
    const known = languages.find((language) => tag.toLowerCase().split('-')[0] === language);
    if (known) return known;
  }
  return 'en';
}

/** The words of one room in the language on the screen, where both come together with the screens that show them. */
export function inLanguage<Tree>(english: Tree, spanish: NoInfer<Tree>): ReadonlySignal<Tree> {
  return computed(() => (language.value === 'es' ? spanish : english));
}
