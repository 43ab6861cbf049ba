/** The words for a phone whose database cannot be read: both languages come with that one screen. */
import { computed } from '@preact/signals';
import { language } from '.';
import { broken as brokenEn } from './en/broken';
import { broken as brokenEs } from './es/broken';

export const english = { broken: brokenEn };
export const spanish = { broken: brokenEs } satisfies typeof english;

export const b = computed<typeof english>(() => (language.value === 'es' ? spanish : english));
