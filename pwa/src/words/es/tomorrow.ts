import { counter, stop } from '../plural';
import type { tomorrow as english } from '../en/tomorrow';

const walks = counter('es', { one: 'recorrido', other: 'recorridos' });
const days = counter('es', { one: 'día', other: 'días' });
const pots = counter('es', { one: 'maceta', other: 'macetas' });
const minutes = counter('es', { one: 'minuto', other: 'minutos' });
const hours = counter('es', { one: 'hora', other: 'horas' });
const beds = counter('es', { one: 'cama', other: 'camas' });

export const tomorrow: typeof english = {
  title: 'Qué camas siguen',
  intro: (on) =>
    `Camas por recorrer el ${on}. Primero las que ya toca recorrer, y antes que todas las que tenían pudrición de raíz en el último recorrido. Después, los recorridos que más dicen por minuto sobre cuántas macetas en grado tendrá una semana de embarque.`,
  emptyTitle: 'No hay camas por recorrer',
  empty:
    'A ninguna cama le toca y ningún recorrido diría más de una semana de embarque. Los lotes necesitan semana de embarque y grados en Cultivos.',
  times: (pot, potN, way, wayN) =>
    `Según sus recorridos: ${pot} s por maceta (mediana de ${potN}), ${way} min hasta la siguiente cama (mediana de ${wayN}).`,
  noTimes:
    'Todavía ningún recorrido dice cuánto tarda una maceta, así que no se planea por tiempo. Asígnelos cuando se hayan recorrido algunas camas.',
  hours: 'Horas de cada quien',
  hour: (count) => hours(count),
  nobody: 'Elija quién recorre para ver qué alcanza.',
  noPeople: 'Todavía no hay monitoreadores. Vincule un teléfono en Teléfonos.',
  fits: (name, count, time) => `${name}: ${walks(count)}, ${minutes(time)}`,
  left: (count) => `${beds(count)} sin asignar`,
  handOut: (count) => `Asignar ${walks(count)}`,
  said: (count) => `Se asignaron ${walks(count)}`,
  task: (bed) => `Recorrer la cama ${bed}`,
  table: { bed: 'Cama', why: 'Motivo', time: 'Tiempo', tells: 'Lo que diría', who: 'Quién' },
  why: {
    never: 'nunca recorrida',
    days: (count) => `por recorrer: último recorrido ${days(count)} antes`,
    part: (seen, about, count) =>
      `por recorrer: ${about > seen ? `${seen} de unas ${pots(about)} revisadas` : `${pots(seen)} ${seen === 1 ? 'revisada' : 'revisadas'}`} ${days(count)} antes, sin terminar`,
    daysRoots: (count) => `por recorrer: pudrición de raíz en el último recorrido, ${days(count)} antes`,
    daysChlorosis: (count) => `por recorrer: clorosis en el último recorrido, ${days(count)} antes`,
    roots: 'por recorrer: pudrición de raíz en el último recorrido',
    chlorosis: 'por recorrer: clorosis en el último recorrido',
    narrows: 'dice más de su semana de embarque',
  },
  time: (count, time) => (time === 0 ? pots(count) : `${pots(count)}, unos ${minutes(time)}`),
  tells: (week, crop, pot, grade, now, after) =>
    `${week}, ${crop} ${pot}, ${grade} o mejor: el margen de 90\u202f% es de unas ${now} macetas; después de este recorrido, de unas ${after}.`,
  assumes:
    'Siempre que el recorrido encuentre lo que se espera. Una temporada buena o mala mueve todos los lotes a la vez: la página de semanas de embarque lo toma en cuenta, esta no.',
  handed: (name) => `asignado a ${name}`,
  planned: (name) => `sería ${name}`,
  closed: (until) => `${stop(`Cerrada hasta ${until}`)} No se asigna.`,
};
