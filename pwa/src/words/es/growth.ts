import { counter } from '../plural';
import type { growth as english } from '../en/growth';

const walks = counter('es', { one: 'recorrido', other: 'recorridos' });

export const growth = {
  axis: (unit) => `copa media, ${unit}`,
  title: 'Tamaño de copa desde el último despunte',
  noPinch:
    'Nadie ha anotado un despunte ni un recorte de este lote, así que su crecimiento no tiene inicio. Anótelo como trabajo hecho, con su día.',
  noWalks: (since) =>
    `Ningún recorrido desde el último despunte o recorte (${since}) midió suficientes copas. Mida al menos 5 macetas de este lote en un recorrido.`,
  caption: (count, since) =>
    `${walks(count)} desde el último despunte o recorte, ${since}. Cada marca es la copa media de un recorrido con su intervalo de 90\u202f%. Línea punteada: el ajuste, con el suyo.`,
  captionBare: (count, since) =>
    `${walks(count)} desde el último despunte o recorte, ${since}. Cada marca es la copa media de un recorrido con su intervalo de 90\u202f%.`,
  none: 'Se necesitan al menos 3 recorridos para decir qué tan rápido crece.',
  curves: (count) =>
    `Se basa en ${walks(count)}: dos curvas de crecimiento, logística y de Gompertz. El intervalo de 90\u202f% cubre las dos.`,
  line: (count, why) =>
    `Todavía es pronto para una curva (${why}): una línea recta por los últimos ${walks(count)}, con su intervalo de 90\u202f%. El crecimiento se frena con el tiempo; una recta no.`,
  lineForLack: (count, why) =>
    `Sin curva (${why}): una línea recta por los últimos ${walks(count)}, con su intervalo de 90\u202f%. El crecimiento se frena con el tiempo; una recta no.`,
  why: {
    points: 'menos de 5 recorridos',
    fit: 'ninguna curva de crecimiento se ajusta a estos recorridos',
    asymptote: 'el tamaño final todavía es muy incierto',
    below: 'los recorridos ya pasan el tamaño final de una curva',
    half: 'se ha visto menos de la mitad del crecimiento',
  },
  band: (grade, low, high) => `El rango es el del grado ${grade}: copas de ${low} a ${high}.`,
  bandFrom: (grade, low) => `El rango es el del grado ${grade}: copas de ${low} o más.`,
  bandTo: (grade, high) => `El rango es el del grado ${grade}: copas de hasta ${high}.`,
  noBand:
    'Ningún grado para su tamaño de maceta pide un tamaño de copa; no hay rango con qué comparar. Ponga los grados en Cultivos.',
  reaches: (size, from, to) => `A este paso la copa media llega a ${size} entre el ${from} y el ${to}.`,
  passes: (size, from, to) => `A este paso sale del rango (${size}) entre el ${from} y el ${to}.`,
  reachesOpen: (size, from) =>
    `A este paso la copa media llega a ${size} lo más pronto el ${from}. Cuánto puede tardar, o si llega, es muy incierto para decirlo.`,
  reachesNever: (size) => `A este paso la copa media no llega a ${size}.`,
  reached: (size, on) => `Según el ajuste, la copa media ya llegó a ${size} para el ${on}.`,
  window:
    'El momento habitual para el regulador de crecimiento es antes de que salga del rango (práctica común, sin fuente). La etiqueta decide.',
  put: (on) =>
    `El regulador de crecimiento se aplicó el ${on}. Los recorridos de antes y de después se ajustan juntos.`,
  ship: (on, size, low, high) =>
    `El ${on}, cuando debe estar listo, la copa media será probablemente de ${size} (${low} a ${high}).`,
  target: {
    behind: 'Sombreado al fondo: el rango deseado, puesto en Cultivos.',
    seen: (on, dayNo, mean, low, high) =>
      `En el último recorrido (${on}, día ${dayNo} después del despunte o recorte) la copa media fue de ${mean} (${low} a ${high})`,
    inside: (seen, low, high) => `${seen}: dentro del rango deseado para ese día, de ${low} a ${high}.`,
    below: (seen, by, low, high) => `${seen}: ${by} por debajo del rango deseado para ese día, de ${low} a ${high}.`,
    above: (seen, by, low, high) => `${seen}: ${by} por encima del rango deseado para ese día, de ${low} a ${high}.`,
    unsure: (seen, low, high) =>
      `${seen}. El rango deseado para ese día va de ${low} a ${high}; el intervalo pasa de su límite, así que todavía no se puede decir si la copa media está dentro.`,
    noDay: (seen, first, last) =>
      `${seen}. El rango deseado va solo del día ${first} al día ${last}; no hay con qué comparar.`,
    oneDay: (seen, only) => `${seen}. El rango deseado tiene solo el día ${only}; no hay con qué comparar.`,
    row: (dayNo, low, high) => `día ${dayNo}, de ${low} a ${high}`,
    rows: (size, each) =>
      `Rango deseado${size === undefined ? '' : ` para macetas de ${size}`}, por días desde el último despunte o recorte: ${each}.`,
  },
  table: { walk: 'Recorrido', scout: 'Monitoreador', pots: 'Copas', mean: 'Copa media' },
  mean: (size, low, high) => `${size} (${low} a ${high})`,
  fit: 'ajuste',
  walks: 'recorridos',
  name: (count, first, last) => `Copa media en ${walks(count)}: de ${first} a ${last}`,
} satisfies typeof english;
