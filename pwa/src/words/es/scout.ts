import type { scout as english } from '../en/scout';

export const scout = {
  today: 'Hoy',
} satisfies typeof english;
