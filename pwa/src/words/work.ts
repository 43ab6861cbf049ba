/** The words of the forms that are noted on the spot, of scanning and of tags: both languages come with those screens. */
import { computed } from '@preact/signals';
import { language } from '.';
import { spot as spotEn, work as workEn } from './en/work';
import { spot as spotEs, work as workEs } from './es/work';

export const english = { work: workEn, spot: spotEn };
export const spanish = { work: workEs, spot: spotEs } satisfies typeof english;

export const w = computed<typeof english>(() => (language.value === 'es' ? spanish : english));
