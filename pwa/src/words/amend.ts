/** The words of a walk's end and of putting right what one wrote: an open card, notes that are struck out. */
import { computed } from '@preact/signals';
import { language } from '.';
import { amend as amendEn } from './en/amend';
import { amend as amendEs } from './es/amend';

export const english = { amend: amendEn };
export const spanish = { amend: amendEs } satisfies typeof english;

export const a = computed<typeof amendEn>(() => (language.value === 'es' ? spanish : english).amend);
