/** The words of the help cards: both languages come with that one screen. */
import { computed } from '@preact/signals';
import { language } from '.';
import { help as helpEn } from './en/help';
import { help as helpEs } from './es/help';

export const english = { help: helpEn };
export const spanish = { help: helpEs } satisfies typeof english;

export const h = computed<typeof english>(() => (language.value === 'es' ? spanish : english));
