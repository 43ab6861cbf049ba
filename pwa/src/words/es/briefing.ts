/** Spanish for the briefing that a phone gets from the server. */
import type { briefing as english } from '../en/briefing';
import { counter, stop } from '../plural';

const walks = counter('es', { one: 'recorrido', other: 'recorridos' });
const lots = counter('es', { one: 'lote', other: 'lotes' });

export const briefing = {
  says: 'Lo que muestra el último recorrido terminado',
  walking: (seen: number, planned: number, who: string, when: string) =>
    `En recorrido: ${planned > 0 ? `${seen} de unas ${planned}` : seen} (${who}, ${when})`,
  walkingShort: (seen: number, planned: number) => `en recorrido, ${planned > 0 ? `${seen} de unas ${planned}` : seen}`,
  seenAt: (said: string, when: string) =>
    `${said} Se vio ${when}; ningún recorrido posterior ha revisado suficientes macetas para descartarlo.`,
  part: 'Todavía no se ha terminado ningún recorrido de esta cama: muy pocas macetas revisadas para dar un número.',
  none: 'Nada fuera de lo normal.',
  laterFinding:
    'El servidor encontró algo que esta versión de la app no puede mostrar. Recargue la página para actualizarla.',
  notMeasured: 'No se midió ninguna copa ni se contaron botones.',
  notYet: 'Se muestra cuando haya señal.',
  older: (when: string) => `Del recorrido anterior (${when}). Se actualiza cuando el servidor tenga el nuevo.`,
  asOf: (when: string) => stop(`Actualizado ${when}`),
  within: (count: number, share: string) =>
    `Cada uno de los ${lots(count)} se evalúa por separado. ${share} de la variación de copa está entre ellos.`,
  lotEven: (value: string, low: string, high: string) => `uniformidad de copas ${value} (${low} a ${high})`,
  reads: 'Cómo mide usted las copas',
  like: (low: string, high: string, count: number) =>
    `Igual que los demás, en los mismos lotes y las mismas semanas (${low} a ${high}, en ${walks(count)}).`,
  large: (by: string, low: string, high: string, count: number) =>
    `Cerca de ${by} más grandes que los demás, en los mismos lotes y las mismas semanas (${low} a ${high}, en ${walks(count)}).`,
  small: (by: string, low: string, high: string, count: number) =>
    `Cerca de ${by} más chicas que los demás, en los mismos lotes y las mismas semanas (${low} a ${high}, en ${walks(count)}).`,
  together: 'Así mide usted; no es un error. Revise unas macetas junto con otro monitoreador.',
} satisfies typeof english;
