import { counter } from '../plural';
import type { common as english } from '../en/common';

const pots = counter('es', { one: 'maceta', other: 'macetas' });
const notes = counter('es', { one: 'nota', other: 'notas' });
const days = counter('es', { one: 'día', other: 'días' });

/** One o'clock is in the singular: "la 1:05", "las 10:05". */
function hour(time: string): string {
  return `${/^0?1\D/.test(time) ? 'la' : 'las'} ${time}`;
}

/** What the bed is held back by, with its article: "lo más disparejo: los botones". */
export function theTrait(trait: string): string {
  return trait === common.buds ? 'los botones' : trait === common.head ? 'la copa' : trait;
}

export const common = {
  language: 'Español',
  pots,
  notes,
  days,
  walks: counter('es', { one: 'recorrido', other: 'recorridos' }),
  lots: counter('es', { one: 'lote', other: 'lotes' }),
  beds: counter('es', { one: 'cama', other: 'camas' }),

  save: 'Guardar',
  undo: 'Deshacer',
  close: 'Cerrar',
  cancel: 'Cancelar',
  back: 'Atrás',
  next: 'Siguiente',
  done: 'Listo',
  tryAgain: 'Intentar de nuevo',
  asTable: 'Como tabla',
  lonePoint: 'un solo recorrido',
  sideways: 'Hay más a la derecha: deslice la tabla',
  sortBy: 'Ordenar por',
  asListed: 'como viene',
  turnRound: 'Invertir el orden',
  loading: 'Trayendo los registros…',
  going: (person: string, seen: number) => `${person} la está recorriendo, ${pots(seen)}`,
  goingSelf: (seen: number) => `usted la está recorriendo, ${pots(seen)}`,
  unknown: 'no se sabe',
  notLookedAt: 'no se revisó',
  notSeen: 'sin revisar',
  none: 'ninguna',
  yes: 'sí',
  no: 'no',
  more: (by: number | string) => `${by} más`,
  less: (by: number | string) => `${by} menos`,
  digit: (digit: string) => digit,
  andFraction: { 25: 'y un cuarto, siguiente', 5: 'y medio, siguiente', 75: 'y tres cuartos, siguiente' },
  eraseOne: 'Borrar la última cifra',
  clear: 'Borrar',

  to: (low: string, high: string) => `${low} a ${high}`,
  withRange: (value: string, low: string, high: string) => `${value} (${low} a ${high})`,
  between: (from: string, to: string) => `entre ${from} y ${to}`,
  of: (part: string, whole: string) => `${part} de ${whole}`,
  shareSeen: (x: number, n: number, low: string, high: string) => `${x} de ${pots(n)} (${low} a ${high})`,
  noneStillAllows: (n: number, high: string) => `ninguna en ${n} (podría haber hasta ${high})`,
  allStillAllows: (n: number, low: string) => `las ${n} (podrían ser solo ${low})`,
  tooFew: 'pocas revisadas',
  noSizes: 'sin medidas',
  week: (week: string, year: string) => `semana ${week}, ${year}`,
  today: 'hoy',
  yesterday: 'ayer',
  ago: (count: number) => `hace ${days(count)}`,
  atTime: (time: string) => `a ${hour(time)}`,
  atDay: (day: string, time: string) => `el ${day} a ${hour(time)}`,
  untilTime: hour,
  untilDay: (day: string, time: string) => `el ${day} a ${hour(time)}`,

  crops: { "florist's azalea": 'azalea de florista', 'pot hydrangea': 'hortensia en maceta' },

  metre: 'm',
  foot: 'pies',
  centimetre: 'cm',
  inch: 'pulg',
  inchShort: '″',
  litre: 'L',
  gallon: 'gal',

  uniformity: 'Uniformidad',
  head: 'tamaño de copa',
  buds: 'número de botones',
  roots: 'raíces',
  chlorosis: 'clorosis',
  height: 'altura',
  row: 'hilera',

  chlorosisWhere: {
    none: 'ninguna',
    young: 'hojas nuevas, venas verdes',
    old: 'hojas viejas',
    whole: 'toda la planta',
  },
  scratch: { firm_white: 'firme, blanca por dentro', soft: 'blanda, se pela', not_scratched: 'sin raspar' },
  voidWhy: {
    mistake: 'un error',
    wrong_pot: 'maceta equivocada',
    wrong_bed: 'cama equivocada',
    twice: 'anotada dos veces',
    other: 'otro motivo',
  },
  roles: { scout: 'monitoreador', supervisor: 'encargado', owner: 'dueño' },

  strip: {
    name: (bed: string, lots: number, seen: number) =>
      `${bed} desde la entrada: ${counter('es', { one: 'lote', other: 'lotes' })(lots)}, ${pots(seen)} ${seen === 1 ? 'revisada' : 'revisadas'}`,
    entry: 'entrada',
    here: 'la maceta que sigue',
    seen: 'revisada',
    trouble: 'con problema',
    voided: 'tachada',
    planned: 'por revisar',
    rows: (from: number, to: number) => `hileras ${from} a ${to}`,
    tableOfPots: 'Las macetas de la cama',
    state: 'Qué muestra',
    lot: 'Lote',
    row: 'Hilera',
    across: 'Desde el lado cercano',
  },

  problem: {
    unexpected: 'La app no pudo leer la respuesta del servidor. Recargue la página. Si sigue igual, avise al dueño.',
    notFound: 'No hay nada en esta dirección. Puede estar mal escrita.',
  },
} satisfies typeof english;
