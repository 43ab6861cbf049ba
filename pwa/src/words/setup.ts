/** The words of pairing, of the settings and of one's own notes, which most starts of the app never show. */
import { computed } from '@preact/signals';
import { language } from '.';
import { setup as setupEn } from './en/setup';
import { setup as setupEs } from './es/setup';

export const english = { setup: setupEn };
export const spanish = { setup: setupEs } satisfies typeof english;

export const setup = computed<typeof setupEn>(() => (language.value === 'es' ? spanish : english).setup);
